// The one page a phone is shown: it sends photos, one after the other, and does nothing else.

const sending = document.querySelector("[data-send]");

// A camera's own JPEG tells of the camera near its beginning; a copy made by the phone may not.
async function isCopy(file) {
  const bytes = new Uint8Array(await file.slice(0, 65536).arrayBuffer());
  if (bytes[0] !== 0xff || bytes[1] !== 0xd8) return false;
  return !new TextDecoder("latin1").decode(bytes).includes("Exif\0");
}

function sendPhoto(file, line) {
  return new Promise((resolve) => {
    const request = new XMLHttpRequest();
    const name = encodeURIComponent(file.name);
    request.open("PUT", `${sending.dataset.send}/photo?name=${name}&changed=${file.lastModified}`);
    request.upload.onprogress = (event) => {
      line.textContent = `${file.name}: ${Math.round((100 * event.loaded) / event.total)} %`;
    };
    request.onload = () => {
      const taken = request.status === 201;
      line.textContent = taken ? `${file.name} has come` : `${file.name}: ${request.responseText}`;
      resolve(taken);
    };
    request.onerror = () => {
      line.textContent = `${file.name} could not be sent: is it still open on the computer?`;
      resolve(false);
    };
    request.send(file);
  });
}

async function sendPhotos(files) {
  for (const file of files) {
    const line = document.createElement("li");
    line.textContent = file.name;
    sending.querySelector(".coming").append(line);
    const copy = await isCopy(file);
    if ((await sendPhoto(file, line)) && copy)
      line.textContent += ", but as a copy without its camera's data: send the original, if you can";
  }
}

sending.querySelector("input").addEventListener("change", (event) => {
  sendPhotos([...event.target.files]);
});
