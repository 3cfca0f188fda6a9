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
setInterval(ask, 20000);
document.addEventListener("visibilitychange", () => document.hidden || ask());
