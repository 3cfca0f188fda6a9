// Tells when the kernel behind this page is gone, so that nobody types into nothing.
const ask = async () => {
  const config = JSON.parse(document.getElementById("jupyter-config-data").textContent);
  let there = false;
  try {
    there = (await fetch(`${config.baseUrl}api/kernels/${config.kernelId}`)).ok;
  } catch {
    // The server was stopped.
  }
  document.getElementById("asleep").hidden = there;
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
setInterval(ask, 20000);
document.addEventListener("visibilitychange", () => document.hidden || ask());
