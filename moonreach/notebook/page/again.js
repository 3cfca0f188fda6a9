// When the connection has broken, the page loads again as soon as its server answers: what it shows
// then is what is kept. What was typed and may be lost is typed again where the box still shows what
// stood there before. Where another device has written meanwhile, that stays, and the page says so.
const BOX = "input[type=text], textarea, select";
const HEARD = 5000; // ms after which a message tells that a change has arrived, too
const kept = `typed ${location.pathname}`;
const SKELETON = ".voila-skeleton-container"; // stands where a cell's outputs are still to come
const kind = (box) => {
  const cell = box.closest("[cell-index]")?.getAttribute("cell-index");
  return [cell, box.tagName, box.title, box.placeholder ?? ""].join("|");
};
const kin = (name) => [...document.querySelectorAll(BOX)].filter((box) => kind(box) === name);
const typed = new Map(); // by box: where it is, what it showed before, what it shows
let broken = false;
let left = {}; // the box in which somebody types, and what it showed
const note = (box) => {
  const name = kind(box);
  const { before = [], shown = left.box === box ? left.shown : "" } = typed.get(box) ?? {};
  const number = kin(name).indexOf(box);
  const what = box.title || box.placeholder || "a menu";
  const now = { what, shown: box.value, at: Date.now() };
  typed.set(box, { name, number, before: [...before, shown], ...now });
};
const enter = ({ target: box }) => box.matches?.(BOX) && (left = { box, shown: box.value });
addEventListener("focusin", enter);
addEventListener("change", (event) => {
  if (event.target.matches?.(BOX)) note(event.target);
  enter(event);
}, true);
addEventListener("pagehide", () => {
  if (!broken && !again.length) return;
  const { box, shown } = left;
  if (box && box === document.activeElement && box.value !== shown) note(box);
  sessionStorage.setItem(kept, JSON.stringify([...again, ...typed.values()]));
});
const arrived = () => {
  for (const [box, { at }] of typed) if (Date.now() - at > HEARD) typed.delete(box);
};
// Whoever went elsewhere and came back may belong to another group now.
const { type } = performance.getEntriesByType("navigation")[0] ?? {};
let again = type === "reload" ? JSON.parse(sessionStorage.getItem(kept) ?? "[]") : [];
sessionStorage.removeItem(kept);
let steady = 0;
let count = 0;
const typeAgain = () => {
  // Which box is the second of its kind is known when all are there.
  const boxes = document.querySelectorAll(BOX).length;
  const coming = boxes !== count || !boxes || document.querySelector(SKELETON);
  steady = coming ? 0 : steady + 1;
  count = boxes;
  if (steady < 4) return setTimeout(typeAgain, 300);
  const lost = [];
  for (const { name, number, what, before, shown } of again) {
    const box = kin(name)[number];
    if (before.includes(box?.value)) {
      enter({ target: box });
      box.value = shown;
      box.dispatchEvent(new Event("change", { bubbles: true }));
    } else if (box?.value !== shown) {
      lost.push(`“${shown}” (${what})`);
    }
  }
  again = [];
  if (!lost.length) return;
  const words = document.getElementById("lost");
  words.querySelector("span").textContent = lost.join(", ");
  words.hidden = false;
};
if (again.length) typeAgain();
