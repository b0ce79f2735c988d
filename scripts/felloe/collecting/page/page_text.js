"use strict";
/* exported pageText, byId, element */
// Sentences of the page: texts with their places filled.
function pageText(words) {
  // A word of the study may run from right to left: it is isolated, so that it turns nothing around it.
  function shown(value) {
    return typeof value === "string" ? "\u2068" + value + "\u2069" : String(value);
  }

  // a replacement text would read "$&" in what people typed as a command: hence a function
  function say(key, values = {}) {
    return words[key].replace(/\{(\w+)\}/g, (whole, name) => (name in values ? shown(values[name]) : whole));
  }

  function counted(key, number) {
    return say(key + (number === 1 ? ".one" : ".many"), { number });
  }

  return { say, counted };
}

function byId(id) {
  return document.getElementById(id);
}

function element(tag, settings = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(settings)) {
    if (name === "text") made.textContent = value;
    else if (name === "class") made.className = value;
    else if (name in made && typeof value !== "string") made[name] = value;
    else made.setAttribute(name, value);
  }
  made.append(...children);
  return made;
}
