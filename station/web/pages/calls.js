// Calls to the station: the answer's JSON, or an error with what is wrong and what to do.

import { proof } from "/session.js";

export class Refused extends Error {}
// Nobody knows whether the station took the call.
export class Silent extends Refused {}

const patience = 10000; // ms

async function answerOf(path, options) {
  let response;
  try {
    response = await fetch(path, { ...options, signal: AbortSignal.timeout(patience) });
  } catch {
    throw new Silent("The station does not answer.");
  }
  let body;
  try {
    body = await response.json();
  } catch {
    throw new Refused("The station's answer makes no sense.");
  }
  if (!response.ok) throw new Refused([body.error, body.mend].filter(Boolean).join(" "));
  return body;
}

export const ask = (path) => answerOf(path, {});

export function tell(path, body) {
  const headers = { "Content-Type": "application/json", "X-Padtrim-Proof": proof() };
  return answerOf(path, { method: "POST", headers, body: JSON.stringify(body ?? {}) });
}
