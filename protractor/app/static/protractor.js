// What makes the page quicker. Without it everything works by the buttons.
"use strict";

// Fields that were left empty stay out of the address.
document.addEventListener("formdata", (event) => {
  if (event.target.method !== "get") return;
  const data = event.formData;
  for (const name of new Set(data.keys())) {
    const given = data.getAll(name).filter((value) => value !== "");
    data.delete(name);
    for (const value of given) data.append(name, value);
  }
});

// A question that cannot be answered is shown with its complaints, like any answer.
document.addEventListener("htmx:beforeSwap", (event) => {
  if (event.detail.xhr.status !== 400) return;
  event.detail.shouldSwap = true;
  event.detail.isError = false;
});

// A field with a complaint says so to those who hear the page.
function mark() {
  for (const complaint of document.querySelectorAll(".field > .complaint")) {
    for (const control of complaint.parentElement.querySelectorAll("input, select, textarea")) {
      if (complaint.textContent.trim()) control.setAttribute("aria-invalid", "true");
      else control.removeAttribute("aria-invalid");
    }
  }
}
document.addEventListener("htmx:afterSettle", mark);

// A sheet that could not be drawn because others were is asked for again.
document.addEventListener("error", (event) => {
  const image = event.target;
  if (!(image instanceof HTMLImageElement) || !image.classList.contains("paper")) return;
  const tries = Number(image.dataset.tries ?? 0);
  if (tries >= 4) return;
  image.dataset.tries = tries + 1;
  setTimeout(() => { image.src = image.src; }, 2000 * (tries + 1));
}, true);
