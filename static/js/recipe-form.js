// The recipe's form: what stands in it, what was typed is not left behind unsaved, and figures that are out of
// date say so. The other scripts of the form build on `formEntries`, `showEntries` and `sayInForm`.
const form = document.getElementById("recipe-form");
const stale = document.getElementById("panel-stale");
let typed = form.querySelector("#form-errors") !== null;

document.documentElement.classList.add("scripted");

// All that was typed, as [name, value]; what only looks at the figures is none of it.
function formEntries() {
  const apart = (name) => name.startsWith("view-") || ["csrfmiddlewaretoken", "act", "find"].includes(name);
  return [...new FormData(form)].filter(([name]) => !apart(name));
}

// Puts back what was typed before. The program draws the lines anew; the promise fails when it does not answer.
async function showEntries(entries) {
  const values = Object.fromEntries([...entries, ["act", "show"]]);
  const before = document.getElementById("form-body");
  const settled = new Promise((done) => document.body.addEventListener("recipe-changed", done, { once: true }));
  await htmx.ajax("POST", location.pathname, { values, target: "#form-body", swap: "outerHTML" });
  if (before.isConnected) throw new Error("The program did not answer.");
  await settled; // until then fields hold values of before
}

function sayInForm(sentence) {
  document.getElementById("form-said").textContent = sentence;
}

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
