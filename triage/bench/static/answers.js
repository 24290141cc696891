/* Keys of the answer base's pages; they keep still where somebody types, or has single keys turned off. */
(() => {
  const by = (id) => document.getElementById(id);
  const on = () => { try { return localStorage.getItem("single-keys") !== "off"; } catch { return true; } };
  const at = (id) => { const field = by(id); if (field) { field.focus(); field.scrollIntoView({ block: "nearest" }); } return Boolean(field); };
  const open = (id, field) => { const box = by(id); if (!box) return false; box.open = true; return at(field); };
  const keys = {
    t: () => at("take"), x: () => at("why"), m: () => at("with"),
    r: () => open("reword", "title-0"), p: () => open("part", "part-title"),
  };
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || !on()) return;
    if (event.target.closest("input, textarea, select, dialog")) return;
    const act = Object.hasOwn(keys, event.key) && keys[event.key];
    if (act && act()) event.preventDefault();
  });
})();
