// Forms that the server must work out, not only keep: where it does not answer they say so, and what is typed stays.
const PATIENCE_MS = 8000;
const ANOTHER_WAY = "form[data-watched], form[data-photos], form[data-leaves], form[data-run]";
const WAITS = "This needs the server, and it does not answer. Nothing was sent and nothing is lost: it waits here; touch it again with signal.";

const answers = async () => {
  try {
    return (await fetch("/who", { cache: "no-store", signal: AbortSignal.timeout(PATIENCE_MS) })).status < 500;
  } catch {
    return false;
  }
};

export const watchWaiting = () => {
  for (const form of document.querySelectorAll("form[method=post]")) {
    if (form.matches(ANOTHER_WAY)) continue;
    const said = form.appendChild(document.createElement("output"));
    let sure = false;
    let asking = false;
    form.addEventListener("submit", async (event) => {
      if (sure) {
        sure = false;
        return;
      }
      event.preventDefault();
      if (asking) return;
      asking = true;
      said.textContent = "";
      sure = await answers();
      asking = false;
      if (sure) form.requestSubmit(event.submitter);
      else said.textContent = WAITS;
    });
  }
};
