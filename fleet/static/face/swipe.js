// A swipe goes on or back, as the two outer links of the bar do.
const FAR = 80; // px along
const STRAIGHT = 50; // px aside
const ELSEWHERE = "input, select, textarea, .side-ways, .top nav, .scroll";

export const goBySwipes = () => {
  let from = null;
  const onStart = (event) => {
    const isSwipe = event.touches.length === 1 && !event.target.closest(ELSEWHERE);
    from = isSwipe ? { x: event.touches[0].clientX, y: event.touches[0].clientY } : null;
  };
  const onEnd = (event) => {
    if (!from) return;
    const touch = event.changedTouches[0];
    const along = touch.clientX - from.x;
    const aside = touch.clientY - from.y;
    from = null;
    if (Math.abs(along) < FAR || Math.abs(aside) > STRAIGHT) return;
    // A swipe only leads: it records nothing, also where going on stands on the button that saves.
    const to = document.querySelector(along < 0 ? ".bar a[rel=next], .bar [data-next]" : ".bar a[rel=prev]");
    if (to) location.assign(to.dataset.next ?? to.href);
  };
  document.addEventListener("touchstart", onStart, { passive: true });
  document.addEventListener("touchend", onEnd, { passive: true });
};
