// Undo and redo: after every change the whole form is remembered as it was typed, and can be put back.
const MOST_REMEMBERED = 100;
const undoTools = document.getElementById("undo");
const past = [];
const future = [];
let now = JSON.stringify(formEntries());
let stepping = false;
let lastStep = Promise.resolve();

function remember() {
  if (stepping) return;
  const next = JSON.stringify(formEntries());
  if (next === now) return;
  past.push(now);
  if (past.length > MOST_REMEMBERED) past.shift();
  now = next;
  future.length = 0;
  offerSteps();
}

function offerSteps() {
  undoTools.querySelector("[value=undo]").disabled = !past.length;
  undoTools.querySelector("[value=redo]").disabled = !future.length;
}

async function step(from, to, said) {
  remember();
  if (!from.length) return;
  stepping = true;
  const there = from.pop();
  to.push(now);
  now = there;
  try {
    await showEntries(JSON.parse(there));
    sayInForm(said);
  } catch {
    from.push(there);
    to.pop();
    sayInForm("The program did not answer: nothing was changed.");
  }
  now = JSON.stringify(formEntries());
  stepping = false;
  offerSteps();
}

// One after the other, however fast the keys are pressed.
const undo = () => { lastStep = lastStep.then(() => step(past, future, "One step was undone.")); };
const redo = () => { lastStep = lastStep.then(() => step(future, past, "One step was done again.")); };

undoTools.hidden = false;
undoTools.querySelector("[value=undo]").addEventListener("click", undo);
undoTools.querySelector("[value=redo]").addEventListener("click", redo);
form.addEventListener("change", remember);
document.body.addEventListener("recipe-changed", remember);

// In a field that is being typed in these keys belong to the browser.
document.addEventListener("keydown", (event) => {
  const inText = event.target.closest("textarea, input:not([type=radio], [type=checkbox])");
  if (inText || !(event.ctrlKey || event.metaKey) || event.altKey || event.key.toLowerCase() !== "z") return;
  event.preventDefault();
  if (event.shiftKey) redo();
  else undo();
});
