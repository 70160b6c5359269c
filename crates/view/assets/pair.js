// On a device that is not known, or not any more.

import { kept } from "./queue.js";

// Pages that it kept for a time without a network are not for it now, whichever page it asked for.
if ("caches" in window) caches.delete("lathe-pages-1");

// What was tapped here and is not recorded yet is this person's own word: it stays.
document.getElementById("waits").hidden = kept().length === 0;

// A code that a camera read stands behind the # of the address, which no server is told: it goes into its
// blank, and out of the address.

const code = decodeURIComponent(location.hash.slice(1));
if (code) {
  document.getElementById("code").value = code;
  history.replaceState(null, "", location.pathname);
  document.getElementById("name").focus();
}
