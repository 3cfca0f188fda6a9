// Tells when the kernel behind this page is gone or the server does not answer, so that nobody types
// into nothing, and loads the page again after a break.
window.WebSocket = class extends WebSocket {
  constructor(address, ...more) {
    super(address, ...more);
    this.kernel = String(address).includes("/channels");
    this.addEventListener("message", () => this.kernel && arrived());
    this.addEventListener("close", () => {
      // That of the cells' outputs closes after the last one.
      const done = !this.kernel && !document.querySelector(SKELETON);
      if (done || Date.now() - parting < 10000) return;
      broken = true;
      ask();
    });
  }
  send(message) {
    if (!broken) super.send(message); // a click of long ago is none
  }
};
// Whoever leaves the page ends its kernel and closes its sockets: that is no break.
let parting = 0;
addEventListener("beforeunload", () => (parting = Date.now()));
let next = 0;
const ask = async () => {
  clearTimeout(next);
  const config = JSON.parse(document.getElementById("jupyter-config-data").textContent);
  let state = "alone";
  try {
    const kernel = `${config.baseUrl}api/kernels/${config.kernelId}`;
    const { ok } = await fetch(kernel, { signal: AbortSignal.timeout(8000) });
    state = ok ? "" : "asleep";
  } catch {
    // The server was stopped, or its laptop sleeps.
  }
  clearTimeout(next);
  next = setTimeout(ask, state || broken ? 2000 : 15000);
  if (broken && !state) {
    if (performance.now() > 3000) location.reload();
    return;
  }
  for (const name of ["alone", "asleep"]) document.getElementById(name).hidden = name !== state;
};
// Stands in for what sets TeX, where a lesson has none.
const nothing = () => {};
window.MathJax = {
  Ajax: {},
  Hub: { Config: nothing, Configured: nothing, Queue: nothing, Register: { StartupHook: nothing } },
};
// A photograph: a file may be dragged onto the page, and one too large for the server is handed on
// empty, so that the page can say so.
const large = 40e6;
const field = () => document.querySelector(".own-photograph");
const click = HTMLInputElement.prototype.click;
let dropped = null;
const check = ({ target: input }) => {
  const file = input.files[0];
  if (file && file.size > large) {
    const empty = new DataTransfer();
    empty.items.add(new File([], file.name, { type: "too/large" }));
    input.files = empty.files;
  }
};
HTMLInputElement.prototype.click = function () {
  if (this.type === "file") this.addEventListener("change", check, { capture: true, once: true });
  if (this.type !== "file" || !dropped) return click.call(this);
  this.files = dropped;
  this.dispatchEvent(new Event("change"));
};
addEventListener("dragover", (event) => field() && event.preventDefault());
addEventListener("drop", (event) => {
  if (!field() || !event.dataTransfer.files.length) return;
  event.preventDefault();
  dropped = event.dataTransfer.files;
  field().click();
  dropped = null;
});
// The photograph is as wide as a tablet's page; its canvas counts in px of its own.
const own = (event) => {
  if (!event.target.matches?.(".jupyter-matplotlib-canvas-div canvas")) return;
  const canvas = event.target.getBoundingClientRect();
  const scale = event.target.width / canvas.width;
  const x = canvas.left + (event.clientX - canvas.left) * scale;
  const y = canvas.top + (event.clientY - canvas.top) * scale;
  Object.defineProperties(event, { clientX: { value: x }, clientY: { value: y } });
};
for (const kind of ["mousedown", "mousemove", "mouseup"]) addEventListener(kind, own, true);
document.addEventListener("change", ask);
next = setTimeout(ask, 15000);
document.addEventListener("visibilitychange", () => document.hidden || ask());
