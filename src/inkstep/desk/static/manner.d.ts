// What `/static/manner.js` holds: the desk's server makes that module from the press's own data.
import type {Way} from "../../press/page/layout.js";

export const manner: Way;
