// The scenario as text: what is wrong is underlined below it, and listed.

/** An editor in `holder`; `changed(text)` is called at each change by hand. */
function editorOf(holder, changed) {
  const frame = element("div", { class: "sheet" }, holder);
  const under = element("pre", { class: "under", "aria-hidden": "true" }, frame);
  const area = element("textarea", { spellcheck: "false", autocapitalize: "off", autocomplete: "off", wrap: "off", "aria-label": "The scenario", "aria-describedby": "faults" }, frame);
  const list = element("ul", { class: "faults", id: "faults", role: "status" }, holder);
  area.addEventListener("input", () => changed(area.value));
  area.addEventListener("scroll", () => {
    under.scrollTop = area.scrollTop;
    under.scrollLeft = area.scrollLeft;
  });

  function go(fault) {
    area.focus();
    area.setSelectionRange(fault.from, Math.max(fault.to, fault.from));
    const line = area.scrollHeight / Math.max(area.value.split("\n").length, 1);
    area.scrollTop = Math.max(0, (fault.line - 4) * line);
  }

  /** Underlines `marks`, faults or notes, in the text as it is. */
  function mark(marks, name) {
    under.replaceChildren();
    let at = 0;
    for (const { from, to } of marks) {
      if (from < at) continue;
      const end = Math.max(to, from + 1);
      under.append(area.value.slice(at, from));
      element("u", { class: name, text: area.value.slice(from, end) || " " }, under);
      at = end;
    }
    under.append(`${area.value.slice(at)}\n`);
    under.scrollTop = area.scrollTop;
    list.replaceChildren();
    for (const one of marks) {
      const item = element("li", { class: name }, list);
      const button = element("button", { type: "button", text: `line ${one.line}, column ${one.column}` }, item);
      button.addEventListener("click", () => go(one));
      element("span", { text: ` ${one.message}${one.help ? ` (${one.help})` : ""}` }, item);
    }
    area.setAttribute("aria-invalid", String(name === "fault" && marks.length > 0));
  }

  return {
    text: () => area.value,
    put: (text) => {
      if (area.value === text) return;
      const [from, top] = [area.selectionStart, area.scrollTop];
      area.value = text;
      if (document.activeElement === area) area.setSelectionRange(from, from);
      area.scrollTop = top;
    },
    faults: (faults) => mark(faults, "fault"),
    notes: (notes) => mark(notes, "note"),
  };
}
