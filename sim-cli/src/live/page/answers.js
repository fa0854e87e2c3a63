// What it comes to: limits with verdicts, measures now and as they were, losses, what to watch out for.

function cellsIn(row, cells) {
  for (const [text, name] of cells) element("td", name ? { class: name, text } : { text }, row);
}

function tableOf(holder, title, heads) {
  const box = element("div", { class: "table" }, holder);
  // A head without rows says nothing.
  box.hidden = true;
  const table = element("table", {}, box);
  element("caption", { text: title }, table);
  const head = element("tr", {}, element("thead", {}, table));
  for (const [text, name] of heads) element("th", { scope: "col", text, ...(name ? { class: name } : {}) }, head);
  return element("tbody", {}, table);
}

/** Limits in `near` the boom, all else in `holder`; what it was is beside it where it differs. */
function answerBoard(near, holder) {
  const verdict = element("p", { class: "verdict", role: "status" }, near);
  const columns = element("div", { class: "answers" }, holder);
  const [left, right] = [element("div", {}, columns), element("div", {}, columns)];
  const verdicts = tableOf(near, "Limits", [["", ""], ["", ""], ["is", "n"], ["was", "n was"], ["allowed", ""], ["demanded by", ""]]);
  const losses = tableOf(right, "Largest losses", [["line or part", ""], ["loss", "n"], ["was", "n was"], ["velocity", "n"], ["of the pump's power", "n"]]);
  const measures = tableOf(left, "Measures", [["", ""], ["is", "n"], ["was", "n was"], ["where", ""]]);
  const watch = element("div", { class: "watch" }, right);

  function rows(body, list, earlier, key, cells) {
    body.replaceChildren();
    for (const one of list) {
      const was = earlier?.find((other) => other[key] === one[key]);
      cellsIn(element("tr", {}, body), cells(one, was));
    }
    const box = body.closest(".table");
    box.hidden = list.length === 0;
    box.classList.toggle("compared", [...body.querySelectorAll(".was")].some((cell) => cell.textContent !== ""));
  }

  const differs = (was, is) => (was !== undefined && was !== is ? was : "");
  return (answer, before) => {
    const unmet = answer.verdicts.filter((one) => !one.met && !one.pending);
    const open = answer.verdicts.filter((one) => one.pending);
    const met = answer.verdicts.length - unmet.length - open.length;
    const yet = open.length > 0 ? ` Not reached yet: ${open.map((one) => one.words).join(", ")}.` : "";
    const text = answer.verdicts.length === 0 ? "Nothing is demanded of this step."
      : unmet.length > 0 ? `Not met: ${unmet.map((one) => one.words).join(", ")}.${yet}`
        : `${met === 1 ? "One limit is" : `${met} limits are`} met.${yet}`;
    if (verdict.textContent !== text) verdict.textContent = text;
    verdict.className = `verdict ${unmet.length === 0 ? "met" : "unmet"}`;
    rows(verdicts, answer.verdicts, before?.verdicts, "words", (one, was) => [
      one.pending ? ["not yet", ""] : [one.met ? "✓ met" : "✗ NOT met", one.met ? "good" : "bad"], [`${one.words}${one.place ? `, ${one.place}` : ""}`],
      [one.pending ? "" : one.value, "n"], [differs(was?.value, one.value), "n was"], [one.allowed], [one.source]]);
    rows(measures, answer.measures, before?.measures, "words", (one, was) => [
      [one.words], [one.value, "n"], [differs(was?.value, one.value), "n was"], [one.place]]);
    rows(losses, answer.losses, before?.losses, "name", (one, was) => [
      [one.name], [one.loss, "n"], [differs(was?.loss, one.loss), "n was"], [one.velocity, "n"], [`${one.share.toFixed(1)} %`, "n"]]);
    watch.replaceChildren();
    if (answer.warnings.length > 0) {
      element("h3", { text: "Watch out" }, watch);
      const list = element("ul", {}, watch);
      for (const text of answer.warnings) element("li", { text }, list);
    }
  };
}
