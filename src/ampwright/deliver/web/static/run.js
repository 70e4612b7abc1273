// Tells how far a long run is and lets it be broken off; without, the page just waits for the answer.
const WAITS = "This is worked out by the server, and it does not answer. Nothing is lost; begin again with signal.";

for (const form of document.querySelectorAll("form[data-run]")) {
  const far = form.querySelector(".far");
  const bar = far.querySelector("progress");
  const words = far.querySelector("[data-words]");
  const said = form.querySelector("[data-said]");
  const button = form.querySelector("button.main");
  const held = form.querySelector("[name=form-token]");
  const token = held ? { "X-Form-Token": held.value } : {};
  let run = null;

  const over = (text) => {
    far.hidden = true;
    button.hidden = false;
    said.textContent = text;
    if (text) button.focus();
  };

  const listen = (after) => {
    const told = new EventSource(`/runs/${run}/events`);
    told.addEventListener("far", (event) => {
      const now = JSON.parse(event.data);
      const what = now.words[0].toUpperCase() + now.words.slice(1);
      words.textContent = now.count ? `${what}: ${now.done} of ${now.count}` : what;
      if (now.count) {
        bar.max = now.count;
        bar.value = now.done;
      } else {
        bar.removeAttribute("value");
      }
    });
    told.addEventListener("end", (event) => {
      told.close();
      if (JSON.parse(event.data).state === "done") {
        const next = new URL(after, location.href);
        const here = next.pathname + next.search === location.pathname + location.search;
        if (here) history.replaceState(null, "", next);
        if (here) location.reload();
        else location.assign(next);
      } else {
        over("Broken off. Nothing was kept.");
      }
    });
    told.onerror = () => {
      if (told.readyState === EventSource.CLOSED) over(WAITS);
    };
  };

  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    button.hidden = true;
    far.hidden = false;
    said.textContent = "";
    far.querySelector("[data-stop]").focus();
    try {
      const answer = await fetch(form.action, {
        method: "POST",
        headers: { Accept: "application/json" },
        body: new URLSearchParams(new FormData(form)),
      });
      if (answer.status !== 202) {
        form.submit();
        return;
      }
      const begun = await answer.json();
      run = begun.run;
      listen(begun.after);
    } catch {
      over(WAITS);
    }
  });

  far.querySelector("[data-stop]").addEventListener("click", async () => {
    if (run) await fetch(`/runs/${run}/break-off`, { method: "POST", body: new URLSearchParams(), headers: token });
  });
}
