// Where keys go on after the part that had the focus has gone.

/** goOn gives a part of the page the focus, once: else each press of the mouse beside a field would take it there. */
export function goOn(part: HTMLElement | null): void {
  if (part === null) return;
  part.tabIndex = -1;
  part.focus({ preventScroll: true });
  part.addEventListener("blur", () => part.removeAttribute("tabindex"), { once: true });
}
