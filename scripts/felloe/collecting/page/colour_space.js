/* exported colourSpace */
// Hue, strength and lightness to the colours of a screen and back, by OKLab (B. Ottosson, 2020).
function colourSpace() {
  const clip = (value) => Math.min(1, Math.max(0, value));
  const curved = (value) => (value <= 0.0031308 ? 12.92 * value : 1.055 * value ** (1 / 2.4) - 0.055);
  const straight = (value) => (value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4);

  function linear(lightness, chroma, hue) {
    const turn = (hue * Math.PI) / 180;
    const [a, b] = [chroma * Math.cos(turn), chroma * Math.sin(turn)];
    const l = (lightness + 0.3963377774 * a + 0.2158037573 * b) ** 3;
    const m = (lightness - 0.1055613458 * a - 0.0638541728 * b) ** 3;
    const s = (lightness - 0.0894841775 * a - 1.291485548 * b) ** 3;
    return [
      4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s,
      -1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s,
      -0.0041960863 * l - 0.7034186147 * m + 1.707614701 * s,
    ];
  }

  // the strongest chroma that a screen shows at this lightness and hue
  function strongest(lightness, hue) {
    let [low, high] = [0, 0.4];
    for (let i = 0; i < 22; i++) {
      const middle = (low + high) / 2;
      const inside = linear(lightness, middle, hue).every((each) => each >= -1e-6 && each <= 1 + 1e-6);
      if (inside) low = middle;
      else high = middle;
    }
    return low;
  }

  // Hue in degrees, strength and lightness in percent, as the sliders have them.
  function hex({ hue, strength, lightness }) {
    const light = lightness / 100;
    const parts = linear(light, (strength / 100) * strongest(light, hue), hue);
    return "#" + parts.map((each) => Math.round(255 * clip(curved(clip(each)))).toString(16).padStart(2, "0")).join("");
  }

  function channels(colour) {
    return [1, 3, 5].map((at) => straight(parseInt(colour.slice(at, at + 2), 16) / 255));
  }

  function parts(colour) {
    const [red, green, blue] = channels(colour);
    const l = Math.cbrt(0.4122214708 * red + 0.5363325363 * green + 0.0514459929 * blue);
    const m = Math.cbrt(0.2119034982 * red + 0.6806995451 * green + 0.1073969566 * blue);
    const s = Math.cbrt(0.0883024619 * red + 0.2817188376 * green + 0.6299787005 * blue);
    const a = 1.9779984951 * l - 2.428592205 * m + 0.4505937099 * s;
    const b = 0.0259040371 * l + 0.7827717662 * m - 0.808675766 * s;
    return { lightness: 0.2104542553 * l + 0.793617785 * m - 0.0040720468 * s, chroma: Math.hypot(a, b), hue: ((Math.atan2(b, a) * 180) / Math.PI + 360) % 360 };
  }

  function sliders(colour) {
    const { lightness, chroma, hue } = parts(colour);
    const grey = chroma < 0.004;
    const most = strongest(lightness, hue);
    return { hue: grey ? 0 : Math.round(hue) % 360, strength: grey || !most ? 0 : Math.min(100, Math.round((100 * chroma) / most)), lightness: Math.round(100 * lightness) };
  }

  // Black or white, whichever can be read on a colour: WCAG 2, relative luminance.
  function readable(colour) {
    const [red, green, blue] = channels(colour);
    const luminance = 0.2126 * red + 0.7152 * green + 0.0722 * blue;
    return (luminance + 0.05) ** 2 > 1.05 * 0.05 ? "#000000" : "#ffffff";
  }

  return { hex, parts, sliders, readable };
}
