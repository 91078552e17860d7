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
