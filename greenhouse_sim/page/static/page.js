"use strict";
/* Look how far the run is until it ends, then show the page again. */
const box = document.querySelector("[data-state]");
const bar = document.getElementById("progress");
const said = document.querySelector(".said");

async function look() {
  let wait = 250;
  try {
    const answer = await fetch(box.dataset.state, { cache: "no-store" });
    const now = await answer.json();
    if (!answer.ok || !now.busy) {
      location.reload();
      return;
    }
    if (now.state === "running" && now.total > 0) {
      bar.max = now.total;
      bar.value = now.done;
    }
    if (said.textContent !== now.said) said.textContent = now.said;
  } catch {
    said.textContent = "The program does not answer. Is it still running?";
    wait = 2000;
  }
  setTimeout(look, wait);
}

if (box) setTimeout(look, 150);
