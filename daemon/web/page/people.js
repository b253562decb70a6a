// SPDX-License-Identifier: Apache-2.0
// Whoever did something is kept as a code; the ticket has the names behind those it says.
import {t} from "/words.js";

export function who(page, code) {
  const known = page.people?.find((one) => one.person === code);
  return known?.name ?? t("name_erased", {code});
}
