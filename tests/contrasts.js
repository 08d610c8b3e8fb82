// Every text and every line that carries meaning, against the ground it stands on, as WCAG 2.2 measures it.
() => {
  const channels = (text) => text.match(/[\d.]+/g).map(Number);
  const luminance = ([r, g, b]) => {
    const linear = [r, g, b].map((v) => v / 255).map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2];
  };
  const ratio = (one, other) => {
    const [high, low] = [luminance(one), luminance(other)].sort((a, b) => b - a);
    return (high + 0.05) / (low + 0.05);
  };
  const role = (name) => {
    const probe = document.createElement("i");
    probe.style.setProperty("color", `var(--${name})`);
    document.body.append(probe);
    const colour = channels(getComputedStyle(probe).color);
    probe.remove();
    return colour;
  };
  const groundOf = (element) => {
    for (let at = element; at; at = at.parentElement) {
      const colour = channels(getComputedStyle(at).backgroundColor);
      if (colour.length < 4 || colour[3] > 0) return colour;
    }
    return [255, 255, 255];
  };
  const low = [];
  const kinds = new Set();
  const judge = (kind, colour, ground, least, what) => {
    kinds.add(kind);
    const found = ratio(colour, ground);
    if (found < least) low.push(`${kind} ${what}: ${found.toFixed(2)}`);
  };

  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const element = walker.currentNode.parentElement;
    if (!walker.currentNode.data.trim() || element.closest("svg, script, noscript") || !element.checkVisibility()) continue;
    const style = getComputedStyle(element);
    judge(element.tagName, channels(style.color), groundOf(element), 4.5, walker.currentNode.data.trim().slice(0, 30));
  }

  const grounds = ["sheet", "tint", "goaltint"].map(role);
  const outer = new Set(["label", "note"]);
  const decoration = new Set(["thin", "sheet", "tint", "paper"]);
  for (const shape of document.querySelectorAll("#board [data-paint]")) {
    const kind = shape.dataset.paint;
    if (decoration.has(kind)) continue;
    const style = getComputedStyle(shape);
    const colour = channels(style.stroke === "none" ? style.fill : style.stroke);
    for (const ground of [...grounds, role("paper")]) judge(kind, colour, ground, outer.has(kind) ? 4.5 : 3, "");
  }
  for (const shape of document.querySelectorAll("svg.strip path, svg.strip text")) {
    if (!shape.checkVisibility()) continue;
    const style = getComputedStyle(shape);
    const kind = shape.getAttribute("class").split(" ").at(-1) || "strip-flag";
    const open = kind === "is-open" || style.fill === "none";
    const colour = channels(open ? style.stroke : style.fill);
    judge(kind, colour, role("paper"), shape.tagName === "text" ? 4.5 : 3, "");
  }
  return {low, kinds: [...kinds]};
}
