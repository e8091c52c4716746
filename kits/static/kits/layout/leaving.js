// Before somebody leaves a shared tablet, what they drew last is sent; if it cannot be, they are asked.

/** `form` signs the learner out; `saving` knows whether all is on the server. */
export function askBeforeLeaving(form, saving, question) {
  form?.addEventListener("submit", async (event) => {
    if (!saving.dirty) return;
    event.preventDefault();
    if ((await saving.now()) || window.confirm(question)) form.submit();
  });
}
