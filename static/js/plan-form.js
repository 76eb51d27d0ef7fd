// The plan's form: a weight on offer is taken with one press; a method and a number by hand exclude each other.
document.querySelectorAll("[data-fill]").forEach((button) => { button.hidden = false; });

document.addEventListener("click", (event) => {
  const button = event.target.closest("[data-fill]");
  if (!button) return;
  document.getElementById(button.dataset.unit).value = "kg";
  const field = document.getElementById(button.dataset.fill);
  field.value = button.dataset.value;
  field.dispatchEvent(new Event("change", { bubbles: true }));
});

// While the event still travels down, so that the preview is asked with both fields in order.
document.addEventListener("input", (event) => {
  const kcal = document.getElementById("id_kcal_per_day");
  const byHand = document.getElementById("id_energy_by-hand");
  if (event.target === kcal && kcal.value) byHand.checked = true;
  if (event.target.name === "energy" && event.target !== byHand) kcal.value = "";
}, true);

// When the program does not answer, what stands on the page is older than the form: say so.
const stale = document.getElementById("plan-stale");
for (const name of ["htmx:sendError", "htmx:responseError", "htmx:timeout"]) {
  document.body.addEventListener(name, () => { stale.hidden = false; });
}
document.body.addEventListener("htmx:afterSwap", () => { stale.hidden = true; });
