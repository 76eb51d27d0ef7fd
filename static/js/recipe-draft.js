// A draft that is not saved is kept on this computer, for this person and this recipe, and offered on return.
// Every opened page keeps a draft of its own, so that none is written over by another.
const PAUSE_MS = 400;
const MOST_KEPT = 5;
const offer = document.getElementById("draft-offer");
const prefix = `${form.dataset.drafts}:`;
const opened = JSON.stringify(formEntries());
const asSaved = "asSaved" in form.dataset;
let key = `${prefix}${form.dataset.seen}:${Date.now()}`;
let waiting = null;

// Newest first; what cannot be read is none.
function keptDrafts() {
  return Object.keys(localStorage).filter((name) => name.startsWith(prefix)).flatMap((name) => {
    try {
      return [{ name, ...JSON.parse(localStorage.getItem(name)) }];
    } catch {
      return [];
    }
  }).sort((one, other) => other.at.localeCompare(one.at));
}

function keepDraft() {
  clearTimeout(waiting);
  waiting = null;
  const entries = formEntries();
  if (asSaved && JSON.stringify(entries) === opened) {
    localStorage.removeItem(key);
    return;
  }
  try {
    localStorage.setItem(key, JSON.stringify({ at: new Date().toISOString(), entries }));
    keptDrafts().slice(MOST_KEPT).forEach(({ name }) => localStorage.removeItem(name));
  } catch {
    sayInForm("This browser keeps no drafts: save before you leave.");
  }
}

function keepSoon() {
  clearTimeout(waiting);
  waiting = setTimeout(keepDraft, PAUSE_MS);
}

// This very page once more, after it was sent: its draft goes on.
function goOnWithSame() {
  const [same, ...copies] = keptDrafts().filter(({ entries }) => JSON.stringify(entries) === opened);
  if (same) key = same.name;
  copies.forEach(({ name }) => localStorage.removeItem(name));
}

function offerNext() {
  const others = keptDrafts().filter(({ name }) => name !== key);
  offer.hidden = !others.length;
  if (!others.length) return;
  const [{ name, at, entries }] = others;
  offer.dataset.name = name;
  offer.querySelector("time").dateTime = at;
  offer.querySelector("time").textContent = new Date(at).toLocaleString();
  offer.querySelector("span").hidden = Object.fromEntries(entries).seen === form.dataset.seen;
}

offer.querySelector("[value=restore]").addEventListener("click", async () => {
  const draft = keptDrafts().find(({ name }) => name === offer.dataset.name);
  try {
    await showEntries(draft.entries);
  } catch {
    sayInForm("The program did not answer: the draft is still kept.");
    return;
  }
  localStorage.removeItem(draft.name);
  keepDraft();
  offerNext();
  sayInForm("The draft stands in the form again.");
});
offer.querySelector("[value=throw-away]").addEventListener("click", () => {
  localStorage.removeItem(offer.dataset.name);
  offerNext();
});

form.addEventListener("input", keepSoon);
document.body.addEventListener("recipe-changed", keepSoon);
window.addEventListener("pagehide", () => { if (waiting) keepDraft(); });
form.addEventListener("submit", () => {
  keepDraft();
  sessionStorage.setItem("recipe-draft-sent", key); // thrown away by page.js once it is saved
});
goOnWithSame();
offerNext();
