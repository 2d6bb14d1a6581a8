// The line that says how the value of a step stands: kept, on its way, waiting, refused.
export const say = (words, mood = "") => {
  const out = document.getElementById("kept");
  if (!out) return;
  out.textContent = words;
  out.className = mood ? `kept is-${mood}` : "kept";
};

export const clock = () => new Date().toTimeString().slice(0, 5);
