// Says how much of a form is not saved yet, and asks before it is left; the form works without.
for (const form of document.querySelectorAll("form[data-watched]")) {
  const said = form.querySelector("[data-unsaved]");
  let first = new FormData(form);
  let saving = false;

  const unsaved = () => {
    const changed = new Set();
    for (const [name, value] of new FormData(form)) {
      if (value !== (first.get(name) ?? "")) changed.add(name.split("~")[0]);
    }
    return changed.size;
  };

  form.addEventListener("input", () => {
    const count = unsaved();
    said.textContent = count ? `${count} not saved yet` : "";
    form.toggleAttribute("data-typed-in", count > 0);
  });
  form.addEventListener("submit", () => { saving = true; });
  form.addEventListener("kept", (event) => {
    first = new FormData(form);
    saving = false;
    said.textContent = event.detail;
    form.removeAttribute("data-typed-in");
  });
  window.addEventListener("beforeunload", (event) => {
    if (!saving && unsaved()) event.preventDefault();
  });
}

// A link to one question opens it.
const opened = () => {
  const found = document.getElementById(decodeURIComponent(location.hash.slice(1)));
  if (found instanceof HTMLDetailsElement) {
    found.open = true;
    found.scrollIntoView();
  }
};
window.addEventListener("hashchange", opened);
opened();
