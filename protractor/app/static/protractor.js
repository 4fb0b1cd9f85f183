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
  // where all are ticked none need be named
  for (const set of event.target.querySelectorAll("fieldset[data-all]")) {
    if (!set.querySelector("input:not(:checked)")) data.delete(set.dataset.all);
  }
});

// What is said of the script is shown where there is script.
document.documentElement.classList.add("scripted");

// The arrow keys turn to the step before and after, where nothing is being typed.
document.addEventListener("keydown", (event) => {
  if (event.altKey || event.ctrlKey || event.metaKey || event.shiftKey || event.defaultPrevented) return;
  if (event.target.closest("input, select, textarea, summary, pre, [contenteditable]")) return;
  const way = { ArrowLeft: "prev", ArrowRight: "next" }[event.key];
  const link = way && document.querySelector(`.turn a[rel=${way}]`);
  if (link) link.click();
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

// A slider and the field beside it are one input: the field is what counts.
const slides = (event) => {
  const slider = event.target;
  if (!(slider instanceof HTMLInputElement) || !slider.dataset.sets) return;
  event.stopPropagation();
  const set = (one) => {
    document.getElementById(one.dataset.sets).value = one.value;
    one.setAttribute("aria-valuetext", `${one.value} ${one.dataset.unit}`);
  };
  set(slider);
  const other = document.getElementById(slider.dataset.with ?? "");
  if (other && !document.getElementById(other.dataset.sets).value.trim()) set(other);
  slider.form.dispatchEvent(new CustomEvent("slid"));
};
document.addEventListener("input", slides, true);
document.addEventListener("change", slides, true);

// After a live answer: sliders show what holds, and the address is that of the question.
let soon;
document.addEventListener("htmx:afterSettle", (event) => {
  for (const held of document.querySelectorAll("data.holds")) {
    const slider = document.getElementById(held.dataset.slider);
    if (slider && slider !== document.activeElement) slider.value = held.value;
  }
  const path = event.detail.pathInfo?.finalRequestPath;
  if (!event.detail.requestConfig?.elt.matches("form[data-live]")) return;
  clearTimeout(soon);
  soon = setTimeout(() => history.replaceState(history.state, "", path), 400);
});

// What stood open stays open when it is swapped.
document.addEventListener("htmx:oobBeforeSwap", (event) => {
  const now = event.detail.target.querySelector("details");
  const next = event.detail.fragment.querySelector("details");
  if (now && next) next.open = now.open;
});

// A form with data-live asks again as it is filled; its button is then not needed.
document.documentElement.classList.add("scripted");
