// Small things that need a script: the focus goes to what is wrong; a file or row is removed without leaving.
document.addEventListener("DOMContentLoaded", () => {
  const errors = document.getElementById("form-errors");
  if (errors) errors.focus();
});

// A recipe's draft that this page was saved from is needed no longer; whoever signs out leaves none behind.
if (document.querySelector(".recipe-saved")) {
  localStorage.removeItem(sessionStorage.getItem("recipe-draft-sent"));
}
document.querySelector(".bar-out")?.addEventListener("submit", (event) => {
  const own = `recipe-draft:${event.target.dataset.user}:`;
  Object.keys(localStorage).filter((name) => name.startsWith(own)).forEach((name) => localStorage.removeItem(name));
});
