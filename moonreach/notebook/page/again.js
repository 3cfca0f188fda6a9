// A change whose reply was lost with a broken socket: the widgets would wait for that reply for ever
// and send nothing more, while their boxes show what is not kept. What such a box showed is sent
// again once the kernel has told its states.
const unheard = new Map();
const sayAgain = () => {
  for (const [model, shown] of unheard) {
    model.set(shown);
    model.save_changes();
  }
  unheard.clear();
};
const remember = async () => {
  const manager = window.jupyterapp?.widgetManager;
  if (!manager) return; // the page is not there yet
  manager.restored.connect(sayAgain);
  for (const model of await Promise.all(Object.values(manager._models))) {
    if (!model._pending_msgs) continue;
    const names = [...model._expectedEchoMsgIds.keys(), ...Object.keys(model._msg_buffer ?? {})];
    unheard.set(model, Object.fromEntries(names.map((name) => [name, model.get(name)])));
    Object.assign(model, { _pending_msgs: 0, _msg_buffer: null });
  }
};
