/* global byId, returnFile, pageStore */
/* exported pageFrame */
// What every such page does: consent, the task, the end; kept, saved, opened again.
// A task has: answer, kept, restore, load, summary, open (how many are left), any, show, shown.
function pageFrame(data, text, task) {
  const { say, counted } = text;
  const store = pageStore(data.identity);
  const files = returnFile(data);
  const VIEWS = ["start", "work", "end"];
  const TICK = 5; // seconds
  const PAUSE = 120; // seconds without a hand on the page that still count as work
  let agreed = false;
  let seconds = 0;
  let view = "start";
  let lastSaved = null;
  let lastAct = 0;

  function write() {
    // of whoever has not agreed nothing is kept; a draft agrees to the text that it was begun under
    if (agreed) store.write({ agreed: data.consent, seconds, saved: lastSaved, task: task.kept() });
  }

  function keep() {
    write();
    tell();
  }

  // The answer as it is compared with the one that was saved.
  function content() {
    return JSON.stringify(task.answer());
  }

  function isSaved() {
    return lastSaved !== null && lastSaved.content === content();
  }

  function tell() {
    for (const each of document.querySelectorAll(".not-kept")) each.hidden = store.keeps();
    const left = task.open();
    byId("end-state").textContent = task.summary().join(" ");
    byId("end-open").textContent = left ? counted("open", left) : say("complete");
    byId("end-open").classList.toggle("lacks", left > 0);
    const when = lastSaved && new Date(lastSaved.at).toLocaleString(data.interface);
    byId("end-saved").textContent = !lastSaved ? "" : isSaved() ? say("saved_at", { when }) : say("changed", { when });
    byId("copied-text").hidden = true;
  }

  function go(next, quiet) {
    view = next;
    for (const name of VIEWS) byId("view-" + name).hidden = name !== next;
    byId("bar").hidden = next === "start";
    document.documentElement.dataset.view = next;
    byId("to-end").hidden = next !== "work";
    byId("to-work").hidden = next !== "end";
    if (next === "work") task.shown();
    tell();
    if (quiet) return;
    window.scrollTo(0, 0);
    byId("title-" + next).focus();
  }

  function made() {
    const minutes = data.minutes ? Math.round(seconds / 6) / 10 : null;
    const found = files.record(task.answer(), minutes);
    lastSaved = { at: found.saved, content: content() };
    keep();
    return found;
  }

  function save() {
    files.save(made());
    byId("end-said").textContent = say("saved", { file: data.file });
  }

  async function copy() {
    const area = byId("copied-text");
    const mail = files.mailText(made());
    area.hidden = false;
    byId("text").value = mail;
    try {
      await navigator.clipboard.writeText(mail);
      byId("end-said").textContent = say("copied");
    } catch {
      byId("text").focus();
      byId("text").select();
      byId("end-said").textContent = say("select");
    }
  }

  async function reopen(input, said) {
    const file = input.files[0];
    if (!file) return;
    const { found, problem } = files.reopened(await file.text());
    input.value = "";
    if (problem) {
      said.textContent = say(problem);
      return;
    }
    task.load(found);
    if (data.minutes && Number.isFinite(found.minutes)) seconds = Math.max(seconds, found.minutes * 60);
    keep();
    task.show();
    said.textContent = say("reopened");
  }

  function start() {
    const box = byId("agree");
    byId("agree-first").hidden = !box || box.checked;
    if (box && !box.checked) {
      box.focus();
      return;
    }
    agreed = true;
    keep();
    go("work");
  }

  function forget() {
    if (!confirm(say("sure"))) return;
    store.forget();
    empty();
  }

  function empty() {
    agreed = false;
    seconds = 0;
    lastSaved = null;
    task.restore({});
    task.show();
    if (byId("agree")) byId("agree").checked = false;
    go("start");
    byId("start-said").textContent = say("forgotten");
  }

  function savedOf({ saved }) {
    return saved && typeof saved.content === "string" && typeof saved.at === "string" ? saved : null;
  }

  function take(found) {
    agreed = found.agreed === data.consent;
    seconds = Number.isFinite(found.seconds) && found.seconds > 0 ? found.seconds : 0;
    lastSaved = savedOf(found);
    task.restore(found.task && typeof found.task === "object" ? found.task : {});
    task.show();
  }

  function tick() {
    if (!data.minutes || view !== "work" || document.hidden || Date.now() - lastAct > 1000 * PAUSE) return;
    seconds += TICK;
    write();
  }

  function open() {
    const found = store.read();
    if (found) take(found);
    write(); // as it was understood, so that a later look finds nothing new
    task.show();
    go(agreed ? "work" : "start", true);
    if (agreed && task.any()) byId("said").textContent = say("back");
    store.followed(follow, empty);
    // a window that slept was told nothing
    document.addEventListener("visibilitychange", () => {
      const kept = document.hidden ? null : store.read();
      if (kept && (agreed || !task.any())) follow(kept);
    });
  }

  // What another window wrote; where only time went by, steps to take back stay.
  function follow(other) {
    if (agreed && other.agreed === data.consent && JSON.stringify(other.task) === JSON.stringify(task.kept())) {
      seconds = Math.max(seconds, Number(other.seconds) || 0);
      lastSaved = savedOf(other);
      tell();
      return;
    }
    take(other);
    if (agreed && view === "start") go("work", true);
    if (!agreed && view !== "start") go("start", true);
    tell();
    byId("said").textContent = say("other_window");
  }

  byId("start").addEventListener("click", start);
  byId("to-end").addEventListener("click", () => go("end"));
  byId("to-work").addEventListener("click", () => go("work"));
  byId("save").addEventListener("click", save);
  byId("copy").addEventListener("click", copy);
  byId("forget").addEventListener("click", forget);
  for (const name of ["start", "end"]) {
    byId("reopen-" + name).addEventListener("change", (event) => reopen(event.target, byId(name + "-said")));
  }
  byId("to-read").addEventListener("click", () => {
    byId("reading").showModal();
    byId("reading-title").focus(); // not the first button, which lies far below
    byId("reading").scrollTop = 0;
  });
  byId("reading-close").addEventListener("click", () => byId("reading").close());
  for (const name of ["pointerdown", "keydown", "wheel"]) {
    window.addEventListener(name, () => (lastAct = Date.now()), { passive: true });
  }
  setInterval(tick, 1000 * TICK);
  new ResizeObserver(([{ target }]) => {
    document.documentElement.style.setProperty("--bar", target.offsetHeight + "px"); // what sticks below it
  }).observe(document.querySelector(".bar"));
  window.addEventListener("beforeunload", (event) => {
    if (!store.keeps() && task.any() && !isSaved()) event.preventDefault();
  });

  return { open, keep, isWorking: () => view === "work" && !document.querySelector("dialog[open]") };
}
