// What is typed, chosen or taken on the screen and not kept yet, and what is being kept just now.

const MARK = "data-held";

export const hold = (node, held = true) => node.toggleAttribute(MARK, held);

export const holdsAnything = () => Boolean(document.querySelector(`main [${MARK}], main button:disabled`));

/** Boxes, and the camera's pictures, tell for themselves. */
export function watchBoxes(root) {
  root.addEventListener("input", ({ target }) => {
    hold(target, target.type === "file" ? target.files.length > 0 : Boolean(target.value.trim()));
  });
}
