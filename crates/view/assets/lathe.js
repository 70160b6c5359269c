import "./live.js";
