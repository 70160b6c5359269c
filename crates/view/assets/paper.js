// A page on paper says when it was printed: what it shows may be another a minute later.

addEventListener("beforeprint", () => {
  const place = document.querySelector(".printed");
  const now = new Date();
  const two = (number) => String(number).padStart(2, "0");
  place.textContent = `Barwright, printed ${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())} ${two(now.getHours())}:${two(now.getMinutes())}`;
  place.hidden = false;
});
