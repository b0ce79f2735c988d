/* exported colourNames */
// What a colour is roughly called, for whoever hears it instead of seeing it.
function colourNames(space, text) {
  const { say } = text;
  const GREY = 0.02;
  const DULL = 0.06;
  const STRONG = 0.17;
  // where each hue ends, in degrees of OKLab
  const HUES = [[10, "pink"], [42, "red"], [78, "orange"], [112, "yellow"], [132, "lime"], [165, "green"], [205, "teal"], [240, "sky"], [282, "blue"], [310, "violet"], [340, "purple"], [360, "pink"]];

  function shade(lightness) {
    if (lightness < 0.3) return "very_dark";
    if (lightness < 0.48) return "dark";
    if (lightness > 0.9) return "very_light";
    return lightness > 0.78 ? "light" : "";
  }

  function grey(lightness) {
    if (lightness < 0.08) return ["", "black"];
    return lightness > 0.98 ? ["", "white"] : [shade(lightness), "grey"];
  }

  function parts(colour) {
    const { lightness, chroma, hue } = space.parts(colour);
    if (chroma < GREY) return grey(lightness);
    const [, name] = HUES.find(([end]) => hue < end);
    if (lightness < 0.58 && name === "orange") return [lightness < 0.35 ? "dark" : "", "brown"];
    const toned = shade(lightness);
    return [toned || (chroma < DULL ? "greyish" : chroma > STRONG ? "strong" : ""), name];
  }

  return function named(colour) {
    const [tone, hue] = parts(colour);
    return tone ? say("shaded", { shade: say("shade." + tone), hue: say("hues." + hue) }) : say("plain", { hue: say("hues." + hue) });
  };
}
