// A part on the bar leads to the cycle that makes it. The field beside the ruler does the same by keyboard.

document.addEventListener("click", (event) => {
  const piece = event.target.closest?.(".ruler [data-part]");
  if (!piece) return;
  const way = piece.ownerSVGElement.dataset.program;
  location.assign(`${way}?part=${piece.dataset.part}`);
});
