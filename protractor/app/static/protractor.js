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

// A form with data-live asks again as it is filled; its button is then not needed.
document.documentElement.classList.add("scripted");

// The arrow keys turn to the step before and after, where nothing is being typed.
document.addEventListener("keydown", (event) => {
  if (event.altKey || event.ctrlKey || event.metaKey || event.shiftKey || event.defaultPrevented) return;
  if (event.target.closest("input, select, textarea, summary, pre, [contenteditable]")) return;
  const way = { ArrowLeft: "prev", ArrowRight: "next" }[event.key];
  const link = way && document.querySelector(`.turn a[rel=${way}]`);
  if (link) link.click();
});
