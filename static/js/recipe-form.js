// The recipe's form: what was typed is not left behind unsaved, and figures that are out of date say so.
const form = document.getElementById("recipe-form");
const stale = document.getElementById("panel-stale");
let typed = form.querySelector("#form-errors") !== null;

form.addEventListener("input", () => { typed = true; });
form.addEventListener("submit", () => { typed = false; });
window.addEventListener("beforeunload", (event) => { if (typed) event.preventDefault(); });

for (const failure of ["htmx:responseError", "htmx:sendError", "htmx:timeout"]) {
  document.body.addEventListener(failure, () => { stale.hidden = false; });
}
document.body.addEventListener("htmx:afterSwap", (event) => {
  if (event.detail.target.id === "panel") stale.hidden = true;
});
document.body.addEventListener("recipe-changed", () => { typed = true; });
