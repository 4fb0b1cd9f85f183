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
