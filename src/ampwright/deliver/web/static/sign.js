// A signature drawn with a finger, a pen or a mouse, sent as a path of whole numbers; the typed name works without.
const NEAR = 2;

for (const form of document.querySelectorAll("form[data-sign]")) {
  const canvas = form.querySelector("canvas");
  const pen = canvas.getContext("2d");
  const sent = form.elements.strokes;
  const typed = form.elements.typed;
  let lines = [];
  let drawing = false;

  const place = (event) => {
    const box = canvas.getBoundingClientRect();
    const within = (at, least, long, most) => Math.min(most, Math.max(0, Math.round((at - least) / long * most)));
    return [within(event.clientX, box.left, box.width, canvas.width),
      within(event.clientY, box.top, box.height, canvas.height)];
  };
  const path = () => lines.map((line) => "M" + line.map((at) => at.join(" ")).join(" L")).join(" ");
  const add = (at) => {
    const line = lines.at(-1);
    const last = line.at(-1);
    if (last && Math.hypot(at[0] - last[0], at[1] - last[1]) < NEAR) return;
    line.push(at);
    pen.beginPath();
    pen.moveTo(...(last ?? at));
    pen.lineTo(...at);
    pen.stroke();
  };
  const wipe = () => {
    lines = [];
    sent.value = "";
    pen.clearRect(0, 0, canvas.width, canvas.height);
  };

  Object.assign(pen, { lineWidth: 4, lineCap: "round", lineJoin: "round", strokeStyle: "#1a1a1a" });
  canvas.addEventListener("pointerdown", (event) => {
    if (!event.isPrimary || event.button > 0) return;
    event.preventDefault();
    canvas.setPointerCapture(event.pointerId);
    drawing = true;
    lines.push([]);
    add(place(event));
  });
  // A line that ends while the finger still flies counts as a fling, and Chromium swallows the tap after a fling.
  canvas.addEventListener("touchstart", (event) => event.preventDefault(), { passive: false });
  canvas.addEventListener("pointermove", (event) => {
    if (!drawing || !event.isPrimary) return;
    const seen = event.getCoalescedEvents?.() ?? [];
    for (const each of seen.length ? seen : [event]) add(place(each));
  });
  for (const end of ["pointerup", "pointercancel"]) {
    canvas.addEventListener(end, () => {
      drawing = false;
      sent.value = path();
    });
  }
  form.querySelector("[data-wipe]").addEventListener("click", wipe);
  typed.addEventListener("input", () => { if (typed.value) wipe(); });
  form.addEventListener("submit", () => { sent.value = path(); });
  form.querySelector("[data-drawing]").hidden = false;
}
