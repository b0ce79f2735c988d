import js from "@eslint/js";

const browser = [
  "document", "window", "location", "history", "navigator", "performance", "console", "CSS", "URL",
  "URLSearchParams", "DOMPoint", "matchMedia", "requestAnimationFrame", "cancelAnimationFrame",
  "setTimeout", "clearTimeout", "getComputedStyle", "Event", "CustomEvent", "KeyboardEvent", "HTMLElement", "SVGElement",
  "localStorage", "Blob", "confirm", "print", "setInterval", "clearInterval", "innerHeight", "ResizeObserver",
  "TextEncoder", "TextDecoder", "btoa", "atob",
];

export default [
  js.configs.recommended,
  {
    languageOptions: {
      sourceType: "script", // set into a page that opens without a server
      globals: Object.fromEntries(browser.map((name) => [name, "readonly"])),
    },
  },
];
