// Stops a running figure when its picture has left the screen or the page's tab is hidden.
const stop = (figure) => figure.querySelector(".motion.mod-active")?.click();
const leaving = new IntersectionObserver((pictures) =>
  pictures.forEach((one) => one.isIntersecting || stop(one.target.parentElement)),
);
document.addEventListener("click", (event) => {
  const figure = event.target.closest(".motion")?.closest(".widget-vbox:has(> .widget-image)");
  if (figure) leaving.observe(figure.querySelector(".widget-image"));
});
document.addEventListener("visibilitychange", () => document.hidden && stop(document));
