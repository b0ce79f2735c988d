/* global sha256 */
/* exported returnFile */
// What goes back: a small file, or the same as a text that a mail can carry.
function returnFile(data) {
  const FORM = "felloe-return-1";
  const LINE = 60;
  const OWN = ["kind", "study", "edition", "participant", "terms"];

  function record(answer, minutes) {
    const head = { form: FORM };
    for (const name of OWN) head[name] = data.identity[name];
    head.language = data.language;
    head.saved = new Date().toISOString().replace(/\.\d+Z$/, "Z");
    return minutes === null ? { ...head, ...answer } : { ...head, minutes, ...answer };
  }

  function fileText(made) {
    return JSON.stringify(made, null, 1) + "\n";
  }

  function mailText(made) {
    const bytes = new TextEncoder().encode(JSON.stringify(made));
    let letters = "";
    for (const each of bytes) letters += String.fromCharCode(each);
    const lines = btoa(letters).match(new RegExp(`.{1,${LINE}}`, "g"));
    return ["felloe return begins", ...lines, "felloe return ends " + sha256(bytes).slice(0, 8), ""].join("\n");
  }

  // The copied text says the same as the file.
  function ofMail(text) {
    const [, letters, check] = /felloe return begins([^]*?)felloe return ends\s+([0-9a-f]{8})/.exec(text);
    const bytes = Uint8Array.from(atob(letters.replace(/[^A-Za-z0-9+/]/g, "")), (each) => each.charCodeAt(0));
    if (sha256(bytes).slice(0, 8) !== check) throw new Error("damaged");
    return new TextDecoder().decode(bytes);
  }

  // What was saved here before, or why it is none of this person's.
  function reopened(text) {
    let found = null;
    try {
      found = JSON.parse(text.trimStart().startsWith("{") ? text : ofMail(text));
    } catch {
      return { problem: "no_file" };
    }
    if (!found || found.form !== FORM) return { problem: "no_file" };
    return OWN.every((name) => found[name] === data.identity[name]) ? { found } : { problem: "other_file" };
  }

  function save(made) {
    const address = URL.createObjectURL(new Blob([fileText(made)], { type: "application/json" }));
    const link = document.createElement("a");
    link.href = address;
    link.download = data.file;
    link.click();
    setTimeout(() => URL.revokeObjectURL(address), 10000);
  }

  return { record, mailText, reopened, save };
}
