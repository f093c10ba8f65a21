export { isPeltryError, PeltryError, type Issue } from "@peltry/issues";
