// Opens the dialog into which an answer was put; its own button and the Escape key close it.
document.addEventListener("htmx:afterSettle", (event) => {
  const dialog = event.target.closest("dialog");
  if (dialog && !dialog.open) dialog.showModal();
});
