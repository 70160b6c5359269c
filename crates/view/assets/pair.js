// A code that a camera read stands behind the # of the address, which no server is told: it goes into its
// blank, and out of the address.

const code = decodeURIComponent(location.hash.slice(1));
if (code) {
  document.getElementById("code").value = code;
  history.replaceState(null, "", location.pathname);
  document.getElementById("name").focus();
}
