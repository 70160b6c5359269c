// A page of the shop with pictures: what they say, and what others record meanwhile.

import "./chart.js";
import "./live.js";
