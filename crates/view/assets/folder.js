// A drawing that is chosen or dropped becomes the text that the form sends.

async function take(file) {
  if (!file) return;
  document.getElementById("from-drawing").open = true;
  document.getElementById("drawing-name").value = file.name;
  document.getElementById("drawing-text").value = await file.text();
  const name = document.getElementById("new-name");
  if (!name.value) name.value = file.name.replace(/\.[^.]*$/, "").replace(/[^\p{L}\p{N}_ -]/gu, "-");
  name.focus();
}

document.getElementById("drawing-file").addEventListener("change", (event) => take(event.target.files[0]));
addEventListener("dragover", (event) => event.preventDefault());
addEventListener("drop", (event) => {
  event.preventDefault();
  take(event.dataTransfer?.files[0]);
});
