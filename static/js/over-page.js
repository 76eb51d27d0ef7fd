// Opens the dialog into which an answer was put; its own button and the Escape key close it.
document.addEventListener("htmx:afterSettle", (event) => {
  const dialog = event.target.closest("dialog");
  if (!dialog) return;
  if (!dialog.open) dialog.showModal();
  dialog.scrollTop = 0;
  dialog.querySelector("h2")?.focus();
});
