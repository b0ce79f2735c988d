"use strict";
/* exported wheelSearch */
// Which entries have some words in them, whatever their accents and capitals.
function wheelSearch(items) {
  const LETTERS = { "ß": "ss", "æ": "ae", "œ": "oe", "ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "ı": "i" };
  const FIELDS = ["definition", "reference", "caution"];

  function fold(text) {
    const bare = text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();
    return bare.replace(/[ßæœøłđðþı]/g, (letter) => LETTERS[letter]);
  }

  function field(item, name) {
    const found = item.querySelector(`:scope > details > .about [data-field="${name}"]`);
    return found ? fold(found.textContent) : "";
  }

  const texts = items.map((item) => {
    const parts = { name: fold(item.dataset.name) };
    for (const name of FIELDS) parts[name] = item.dataset.tier === "term" ? field(item, name) : "";
    return { key: item.dataset.key, parts, all: Object.values(parts).join("\n") };
  });

  // Where the words stand: the name first, else the field that has the last of them.
  function placeOf(words, { parts, all }) {
    if (words.every((word) => parts.name.includes(word))) return "name";
    if (!words.every((word) => all.includes(word))) return null;
    return FIELDS.find((name) => words.some((word) => !parts.name.includes(word) && parts[name].includes(word)));
  }

  function find(text) {
    const words = fold(text).split(/\s+/).filter(Boolean);
    if (!words.length) return null;
    const found = [];
    for (const each of texts) {
      const place = placeOf(words, each);
      const starts = each.parts.name.startsWith(words[0]);
      if (place) found.push({ key: each.key, place, rank: place === "name" ? (starts ? 0 : 1) : 2 });
    }
    return found.sort((one, other) => one.rank - other.rank);
  }

  return { find };
}
