// What the page can do beyond being read and filled in: every view works without this file.
"use strict";

// --- the wall: tiles that do not match what is typed are hidden at once -----------------------

const find = document.querySelector("[data-find]");

function showMatches() {
  const wanted = find.value.toLocaleLowerCase().trim();
  for (const family of document.querySelectorAll("[data-family]")) {
    let any = false;
    for (const tile of family.querySelectorAll("li")) {
      tile.hidden = !tile.textContent.toLocaleLowerCase().includes(wanted);
      any ||= !tile.hidden;
    }
    family.hidden = !any;
  }
}

if (find) find.addEventListener("input", showMatches);

// --- a large range is shown in a rough order; the fine one takes the server seconds ------------

const rough = document.querySelector("[data-rough]");

// Tiles do not move under whoever reads, types or has gone on to one of them.
function isAtWork() {
  const main = document.getElementById("main");
  return scrollY > innerHeight / 2 || main.contains(document.activeElement) || find.value !== "";
}

function showFine(text) {
  const fine = new DOMParser().parseFromString(text, "text/html");
  if (fine.body.dataset.revision !== document.body.dataset.revision || fine.querySelector("[data-rough]")) return;
  if (isAtWork()) {
    rough.textContent = "Each ink now has its place beside those most like it: ";
    const link = document.createElement("a");
    link.className = "target";
    link.href = "/";
    link.textContent = "show that";
    rough.append(link);
    return;
  }
  document.querySelectorAll("[data-family]").forEach((family) => family.remove());
  document.getElementById("main").append(...fine.querySelectorAll("[data-family]"));
  rough.textContent = "In colour order: each ink is beside those most like it.";
}

async function orderFinely() {
  rough.textContent =
    "In each family from light to dark for now; each ink's place beside those most like it is being worked out.";
  try {
    const answer = await fetch("/order");
    if (answer.ok) showFine(await answer.text());
  } catch {
    // the rough order stays
  }
}

if (rough) orderFinely();

// --- an inventory that changed meanwhile: asked for every five seconds while the view is looked at

async function lookForChange() {
  const known = document.body.dataset.revision;
  if (document.hidden || !known) return;
  try {
    const answer = await fetch("/revision");
    if (answer.ok && (await answer.text()) !== known)
      document.getElementById("changed").hidden = false;
  } catch {
    // the program has ended; what is shown still can be read
  }
}

if (document.getElementById("changed")) setInterval(lookForChange, 5000);

// --- photos come in: dropped or chosen, one after the other -----------------------------------

const drop = document.querySelector("[data-drop]");

function sendPhoto(file, line) {
  return new Promise((resolve) => {
    const request = new XMLHttpRequest();
    request.open(
      "PUT",
      `/photo?name=${encodeURIComponent(file.name)}&changed=${file.lastModified}`,
    );
    request.setRequestHeader("Woad-Token", drop.dataset.token);
    request.upload.onprogress = (event) => {
      const percent = Math.round((100 * event.loaded) / event.total);
      line.textContent = `${file.name}: ${percent} % has come in`;
    };
    request.onload = () => {
      const taken = request.status === 201;
      line.textContent = taken
        ? `${file.name} is here; now it is read`
        : `${file.name}: ${request.responseText}`;
      resolve(taken ? request.responseText : null);
    };
    request.onerror = () => {
      line.textContent = `${file.name}: could not be sent; is woad still running?`;
      resolve(null);
    };
    request.send(file);
  });
}

async function takePhotos(files) {
  const list = drop.querySelector(".coming");
  const taken = [];
  for (const file of files) {
    const line = document.createElement("li");
    line.textContent = file.name;
    list.append(line);
    const address = await sendPhoto(file, line);
    if (address) taken.push(address);
  }
  if (taken.length === 1 && files.length === 1) location.href = taken[0];
  else if (taken.length) location.href = "/photos";
}

if (drop) {
  drop.querySelector("input").addEventListener("change", (event) => {
    takePhotos([...event.target.files]);
  });
  // wherever on the view they are dropped
  document.addEventListener("dragover", (event) => {
    event.preventDefault();
    drop.classList.add("over");
  });
  document.addEventListener("dragleave", () => drop.classList.remove("over"));
  document.addEventListener("drop", (event) => {
    event.preventDefault();
    drop.classList.remove("over");
    takePhotos([...event.dataTransfer.files]);
  });
}

// --- photos come from a phone --------------------------------------------------------------------

const came = document.querySelector("[data-came]");

async function lookForPhoto() {
  try {
    const answer = await fetch("/came");
    if (answer.ok && (await answer.text()) !== came.dataset.came) location.reload();
  } catch {
    // the program has ended
  }
}

if (came) setInterval(lookForPhoto, 2000);

// --- what takes a second says so ---------------------------------------------------------------

for (const form of document.querySelectorAll("form[data-slow]"))
  form.addEventListener("submit", () => {
    const line = document.createElement("p");
    line.className = "notice";
    line.setAttribute("role", "status");
    line.textContent = `${form.dataset.slow} ...`;
    form.prepend(line);
  });

// --- two batches: the edge between them is dragged on the colours, or set below by keys or a click

for (const pair of document.querySelectorAll("[data-pair]")) {
  const divider = document.createElement("input");
  divider.type = "range";
  divider.className = "divider";
  divider.value = 50;
  divider.setAttribute("aria-label", `${pair.dataset.pair}: how much of the old batch is seen, in percent`);
  const place = () => pair.style.setProperty("--divider", `${divider.value}%`);
  divider.addEventListener("input", place);
  const drag = (event) => {
    const box = pair.getBoundingClientRect();
    divider.value = (100 * (event.clientX - box.left)) / box.width;
    place();
  };
  pair.addEventListener("pointerdown", (event) => {
    pair.setPointerCapture(event.pointerId);
    drag(event);
  });
  pair.addEventListener("pointermove", (event) => pair.hasPointerCapture(event.pointerId) && drag(event));
  pair.after(divider);
  place();
}

// --- corners of card and chart, dragged or moved by the arrow keys -----------------------------

const photo = document.querySelector(".photo");
const corners = document.querySelector("[data-corners]");

function toNumbers(text) {
  const numbers = text.split(",").map(Number);
  return numbers.length === 8 && numbers.every(Number.isFinite) ? numbers : null;
}

// Where nothing is known, corners begin a bit inside of the photo.
function startingCorners(field, found) {
  const w = Number(photo.dataset.width);
  const h = Number(photo.dataset.height);
  return (
    toNumbers(field.value) ||
    (found && toNumbers(found)) || [
      0.2 * w, 0.2 * h, 0.8 * w, 0.2 * h, 0.8 * w, 0.8 * h, 0.2 * w, 0.8 * h,
    ]
  );
}

// A part of the photo at twice the size it is shown, with the corner in its middle.
function showLoupe(loupe, x, y) {
  const image = photo.querySelector("img");
  const zoom = 3;
  const left = (x / photo.dataset.width) * image.clientWidth;
  const top = (y / photo.dataset.height) * image.clientHeight;
  loupe.hidden = false;
  loupe.style.backgroundImage = `url(${image.src})`;
  loupe.style.backgroundSize = `${image.clientWidth * zoom}px`;
  loupe.style.backgroundPosition = `${80 - left * zoom}px ${80 - top * zoom}px`;
  loupe.style.left = left < image.clientWidth / 2 ? `${left + 40}px` : `${left - 200}px`;
  loupe.style.top = `${Math.max(0, top - 80)}px`;
}

function makeHandle(set, i) {
  const handle = document.createElement("button");
  handle.type = "button";
  handle.className = "corner";
  const place = () => {
    const [x, y] = [set.at[2 * i], set.at[2 * i + 1]];
    handle.style.left = `${(100 * x) / photo.dataset.width}%`;
    handle.style.top = `${(100 * y) / photo.dataset.height}%`;
    handle.setAttribute(
      "aria-label",
      `${set.name}, corner ${i + 1} of 4, at ${Math.round(x)}, ${Math.round(y)}; arrow keys move it`,
    );
    set.outline.setAttribute("points", set.at.join(" "));
  };
  const move = (x, y) => {
    set.at[2 * i] = Math.min(Math.max(x, 0), Number(photo.dataset.width));
    set.at[2 * i + 1] = Math.min(Math.max(y, 0), Number(photo.dataset.height));
    set.field.value = set.at.map((number) => number.toFixed(1)).join(",");
    place();
    showLoupe(set.loupe, set.at[2 * i], set.at[2 * i + 1]);
  };
  handle.addEventListener("pointerdown", (event) => {
    handle.setPointerCapture(event.pointerId);
    move(set.at[2 * i], set.at[2 * i + 1]);
  });
  handle.addEventListener("pointermove", (event) => {
    if (!handle.hasPointerCapture(event.pointerId)) return;
    const box = photo.querySelector("img").getBoundingClientRect();
    move(
      ((event.clientX - box.left) / box.width) * photo.dataset.width,
      ((event.clientY - box.top) / box.height) * photo.dataset.height,
    );
  });
  handle.addEventListener("keydown", (event) => {
    const step = event.shiftKey ? 20 : 1;
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[
      event.key
    ];
    if (!way) return;
    event.preventDefault();
    move(set.at[2 * i] + step * way[0], set.at[2 * i + 1] + step * way[1]);
  });
  for (const end of ["pointerup", "blur"])
    handle.addEventListener(end, () => (set.loupe.hidden = true));
  place();
  return handle;
}

function takeHold(name, field, found, loupe) {
  const outline = document.createElementNS("http://www.w3.org/2000/svg", "polygon");
  const set = { name, field, loupe, outline, at: startingCorners(field, found) };
  photo.querySelector("svg").append(outline);
  for (let i = 0; i < 4; i++) photo.append(makeHandle(set, i));
  photo.querySelector(".corner").focus({ preventScroll: true });
}

if (photo && corners) {
  const loupe = document.createElement("div");
  loupe.className = "loupe";
  loupe.hidden = true;
  photo.append(loupe);
  const line = document.createElement("p");
  line.className = "row";
  for (const [name, label] of [["card", "The card"], ["chart", "The chart"]]) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = `Move the corners of the ${name}`;
    button.addEventListener("click", () => {
      button.disabled = true;
      takeHold(label, corners.querySelector(`[name=${name}_at]`), photo.dataset[name], loupe);
    });
    line.append(button);
  }
  corners.append(line);
}
