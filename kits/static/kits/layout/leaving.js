// Before somebody leaves a shared tablet, what they drew last is sent; if it cannot be, they are asked.

import { ask } from "../leaving.js";

/** `form` signs out; `saving` knows whether all is on the server; `lost` is said where this device keeps nothing. */
export function askBeforeLeaving(form, saving, lost) {
  form?.addEventListener("submit", async (event) => {
    if (!saving.dirty) return;
    event.preventDefault();
    if (await saving.now()) form.requestSubmit();
    else if (await ask(saving.kept.works ? "" : lost)) form.submit();
    else saving.now();
  });
}
