/* global ballotFiles */
// The page: what is chosen is kept in this browser, told, and put out as files.
(function () {
  const byId = (id) => document.getElementById(id);
  const data = JSON.parse(byId("data").textContent);
  const files = ballotFiles(data);
  const { say } = files;
  const FIELDS = ["name", "absorbs", "reason", "day", "role"];
  const PREFIX = data.draft.map(encodeURIComponent).join("|") + "|";
  const OWN = PREFIX + data.chart;
  const sections = new Map([...document.querySelectorAll(".question")].map((each) => [each.dataset.key, each]));
  let answers = {};

  function today() {
    const now = new Date();
    return new Date(now.getTime() - 60000 * now.getTimezoneOffset()).toISOString().slice(0, 10);
  }

  // What the browser keeps, as far as it may.
  const drafts = (function () {
    try {
      localStorage.setItem(PREFIX + "try", "1");
      localStorage.removeItem(PREFIX + "try");
      return {
        keys: () => Object.keys(localStorage).filter((key) => key.startsWith(PREFIX)),
        read: (key) => JSON.parse(localStorage.getItem(key)),
        write: (key, value) => localStorage.setItem(key, JSON.stringify(value)),
        forget: (key) => localStorage.removeItem(key),
      };
    } catch {
      return null;
    }
  })();

  function read(key) {
    try {
      const found = drafts.read(key);
      return found && typeof found.answers === "object" && found.answers ? found : null;
    } catch {
      return null; // somebody else's text under our name
    }
  }

  function count(given) {
    return Object.values(given).filter((answer) => !files.isOpen(answer)).length;
  }

  function control(section, name) {
    return section.querySelector(`[data-field="${name}"]`);
  }

  function gathered() {
    const found = {};
    for (const [key, section] of sections) {
      const checked = section.querySelector("input[type=radio]:checked");
      const answer = { choice: checked ? checked.value : "open" };
      for (const name of FIELDS) {
        const made = control(section, name);
        if (made) answer[name] = made.type === "checkbox" ? made.checked : made.value;
      }
      if (answer.choice !== "open" || answer.name || answer.reason) found[key] = answer;
    }
    return found;
  }

  function put(key, answer) {
    const section = sections.get(key);
    const radio = section && [...section.querySelectorAll("input[type=radio]")].find((each) => each.value === answer.choice);
    if (!radio) return false;
    radio.checked = true;
    unfold(radio);
    for (const name of FIELDS) {
      const made = control(section, name);
      if (!made || answer[name] === undefined) continue;
      if (made.type === "checkbox") made.checked = answer[name] === true;
      else made.value = String(answer[name]);
    }
    return true;
  }

  function unfold(each) {
    for (let found = each && each.closest("details"); found; found = found.parentElement.closest("details")) found.open = true;
  }

  function keep() {
    if (!drafts) return;
    try {
      const all = { day: byId("all-day") && byId("all-day").value, role: byId("all-role") && byId("all-role").value };
      if (Object.keys(answers).length) drafts.write(OWN, { answers, all });
      else drafts.forget(OWN);
      byId("draft-state").textContent = data.words.kept;
    } catch {
      byId("draft-state").textContent = data.words.not_kept; // no room is left, or it was forbidden since
    }
  }

  function item(text, number) {
    const made = document.createElement("li");
    if (number === undefined) made.textContent = text;
    else {
      const link = document.createElement("a");
      link.href = "#q" + number;
      link.textContent = text;
      made.append(link);
    }
    return made;
  }

  function show() {
    answers = gathered();
    const found = files.outcome(answers);
    const chosen = new Set(found.chosen);
    for (const { number } of data.questions) {
      const lacks = found.problems.filter((each) => each.number === number).map((each) => each.text);
      byId("lacks" + number).textContent = lacks.join(" ");
      byId("unkept" + number).textContent = found.unkept[number] || "";
      byId("q" + number).classList.toggle("unwritten", number in found.unkept);
      byId("done" + number).textContent = chosen.has(number) ? (found.lacking.has(number) ? "…" : "✓") : "";
    }
    const all = data.questions.filter(({ number, needless }) => !needless || chosen.has(number)).length;
    const state = say("state", { chosen: chosen.size, all, lacking: found.lacking.size });
    const ends = found.problems.length ? data.words.not_ready : chosen.size ? data.words.ready : data.words.nothing_yet;
    byId("state").textContent = `${state} ${ends}`;
    byId("problems").replaceChildren(...found.problems.map((each) => item(each.text, each.number)));
    byId("notices").replaceChildren(...found.notices.map((each) => item(each)));
    for (const name of ["decisions", "names"]) {
      byId(name).value = found[name];
      byId("save-" + name).disabled = byId("copy-" + name).disabled = !found[name];
    }
    document.documentElement.classList.toggle("chosen-any", chosen.size > 0);
  }

  function changed(event) {
    const section = event.target.closest(".question");
    if (section && event.target.type === "radio" && event.target.value !== "open") {
      for (const name of ["day", "role"]) {
        const made = control(section, name);
        if (made && !made.value) made.value = byId("all-" + name).value;
      }
    }
    if (section && event.target.dataset.field === "name" && event.target.value) {
      const other = [...section.querySelectorAll("input[type=radio]")].find((each) => each.value.startsWith("other"));
      if (other && !other.checked) {
        other.checked = true;
        other.dispatchEvent(new Event("input", { bubbles: true }));
        return;
      }
    }
    if (event.target.closest("main")) {
      show();
      keep();
    }
  }

  function save(name) {
    const address = URL.createObjectURL(new Blob([byId(name).value], { type: "text/csv" }));
    const link = document.createElement("a");
    link.href = address;
    link.download = name + ".csv";
    link.click();
    setTimeout(() => URL.revokeObjectURL(address), 10000);
  }

  async function copy(name) {
    const text = byId(name);
    try {
      await navigator.clipboard.writeText(text.value);
      byId("said").textContent = say("copied", { file: name + ".csv" });
    } catch {
      text.focus();
      text.select();
      byId("said").textContent = data.words.select;
    }
  }

  function empty() {
    for (const section of sections.values()) {
      for (const made of section.querySelectorAll("input, textarea")) {
        if (made.type === "radio") made.checked = made.value === "open";
        else if (made.type === "checkbox") made.checked = false;
        else made.value = "";
      }
    }
  }

  function fresh() {
    if (!confirm(data.words.sure)) return;
    empty();
    show();
    keep();
    byId("said").textContent = data.words.draft_gone;
  }

  function restore() {
    const own = drafts && read(OWN);
    if (byId("all-day")) byId("all-day").value = (own && own.all && own.all.day) || today();
    if (!drafts) {
      byId("draft-state").textContent = data.words.not_kept;
      return;
    }
    if (own) {
      if (byId("all-role")) byId("all-role").value = (own.all && own.all.role) || "";
      for (const [key, answer] of Object.entries(own.answers)) put(key, answer);
      byId("draft-state").textContent = say("restored", { number: count(own.answers) }) + " " + data.words.kept;
    } else byId("draft-state").textContent = data.words.kept;
    offer();
  }

  // A draft of another chart is told, and taken over only when somebody says so.
  function offer() {
    const key = drafts.keys().find((each) => each !== OWN && read(each));
    byId("older").hidden = !key;
    if (!key) return;
    const found = read(key);
    byId("older-said").textContent = say("older", { number: count(found.answers) });
    byId("older-take").textContent = data.words.older_take;
    byId("older-drop").textContent = data.words.older_drop;
    byId("older-take").onclick = () => {
      const chosen = Object.entries(found.answers).filter(([, answer]) => !files.isOpen(answer));
      const fits = chosen.filter(([each, answer]) => put(each, answer)).length;
      drafts.forget(key);
      show();
      keep();
      offer();
      byId("draft-state").textContent = say("taken", { number: fits, all: chosen.length });
    };
    byId("older-drop").onclick = () => {
      drafts.forget(key);
      offer();
    };
  }

  document.documentElement.classList.add("js");
  empty(); // what a browser puts back into fields by itself is no draft of ours
  restore();
  show();
  document.addEventListener("input", changed);
  for (const name of ["decisions", "names"]) {
    byId("save-" + name).addEventListener("click", () => save(name));
    byId("copy-" + name).addEventListener("click", () => copy(name));
  }
  byId("print").addEventListener("click", () => print());
  byId("fresh").addEventListener("click", fresh);
  document.addEventListener("click", (event) => {
    const link = event.target.closest("a[href^='#']");
    if (link) unfold(byId(link.hash.slice(1)));
  });
  unfold(byId(location.hash.slice(1)));
  window.addEventListener("beforeprint", () => {
    for (const each of document.querySelectorAll(".further, .needless")) if (each.querySelector(":checked:not([value=open])")) each.open = true;
    for (const each of document.querySelectorAll("input[type=date]")) each.classList.toggle("unfilled", !each.value);
  });
  window.addEventListener("beforeunload", (event) => {
    if (!drafts && count(answers)) event.preventDefault();
  });
})();
