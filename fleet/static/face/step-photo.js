// A photo is seen once it is taken, before it is sent.
export const showPhoto = (form) => {
  const field = form.querySelector("input[type=file]");
  field?.addEventListener("change", () => {
    form.querySelector(".shown-photo")?.remove();
    const [file] = field.files;
    if (!file?.type.startsWith("image/")) return;
    const image = document.createElement("img");
    image.className = "shown-photo";
    image.alt = `The photo taken: ${file.name}`;
    image.src = URL.createObjectURL(file);
    image.addEventListener("load", () => URL.revokeObjectURL(image.src), { once: true });
    field.after(image);
  });
};
