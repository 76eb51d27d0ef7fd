// The order of ingredients and steps: a line is dragged by its grip, or moved by the arrow keys on it. The
// program puts the lines into their new order and draws them; until it answers they only look so.
let dragged = null;
let asked = null; // the grip whose move was sent, with the place it goes to

const lineOf = (grip) => grip.closest(".line");
const linesBeside = (line) => [...line.parentNode.children];

function move(grip, from, to) {
  const kind = lineOf(grip).parentNode.dataset.kind;
  grip.value = `${kind}-move-${from}-${to}`;
  asked = { grip, kind, from, to };
  htmx.trigger(grip, "moved");
}

function putAt(line, place) {
  const others = linesBeside(line).filter((other) => other !== line);
  line.parentNode.insertBefore(line, others[place] ?? null);
}

form.addEventListener("keydown", (event) => {
  const grip = event.target.closest(".grip");
  if (!grip) return;
  const lines = linesBeside(lineOf(grip));
  const from = lines.indexOf(lineOf(grip));
  const to = { ArrowUp: from - 1, ArrowDown: from + 1, Home: 0, End: lines.length - 1 }[event.key];
  if (to === undefined) return;
  event.preventDefault();
  if (to !== from && lines[to]) move(grip, from, to);
});

form.addEventListener("pointerdown", (event) => {
  const grip = event.target.closest(".grip");
  if (!grip || event.button !== 0) return;
  event.preventDefault();
  grip.focus();
  dragged = { grip, line: lineOf(grip), from: linesBeside(lineOf(grip)).indexOf(lineOf(grip)) };
  dragged.line.classList.add("dragged");
});

// On the whole document: a line that is moved in the page lets go of the pointer.
document.addEventListener("pointermove", (event) => {
  if (!dragged) return;
  const others = linesBeside(dragged.line).filter((other) => other !== dragged.line);
  const below = others.findIndex((other) => {
    const { top, height } = other.getBoundingClientRect();
    return event.clientY < top + height / 2;
  });
  const place = below < 0 ? others.length : below;
  if (linesBeside(dragged.line).indexOf(dragged.line) !== place) putAt(dragged.line, place);
});

function drop(kept) {
  if (!dragged) return;
  const { grip, line, from } = dragged;
  const to = linesBeside(line).indexOf(line);
  line.classList.remove("dragged");
  dragged = null;
  if (!kept) putAt(line, from);
  else if (to !== from) move(grip, from, to);
}

document.addEventListener("pointerup", () => drop(true));
document.addEventListener("pointercancel", () => drop(false));
document.addEventListener("keydown", (event) => { if (event.key === "Escape") drop(false); });

document.body.addEventListener("htmx:afterSettle", () => {
  if (!asked || asked.grip.isConnected) return;
  const lines = [...document.querySelectorAll(`#${asked.kind} .line`)];
  lines[asked.to]?.querySelector(".grip").focus();
  sayInForm(`It is number ${asked.to + 1} of ${lines.length} now.`);
  asked = null;
});
for (const failure of ["htmx:responseError", "htmx:sendError", "htmx:timeout"]) {
  document.body.addEventListener(failure, () => {
    if (asked) putAt(lineOf(asked.grip), asked.from);
    asked = null;
  });
}
