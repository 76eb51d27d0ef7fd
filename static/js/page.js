// Small things that need a script: the focus goes to what is wrong; a file or row is removed without leaving.
document.addEventListener("DOMContentLoaded", () => {
  const errors = document.getElementById("form-errors");
  if (errors) errors.focus();
});
