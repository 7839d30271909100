// Cases one after the other, and what they count.

const cases = [];
export const test = (name, body) => cases.push({ name, body });

export function equal(got, wanted, what = "value") {
  if (JSON.stringify(got) !== JSON.stringify(wanted))
    throw new Error(`${what}: got ${JSON.stringify(got)}, wanted ${JSON.stringify(wanted)}`);
}
export function ok(truth, what) {
  if (!truth) throw new Error(what);
}

// Asks again until it is so; the condition may be a promise. Never sleeps on a guess of its own.
export async function until(what, condition, limit = 20000) {
  const end = performance.now() + limit;
  let last;
  while (performance.now() < end) {
    try {
      last = await condition();
      if (last) return last;
    } catch (trouble) {
      last = trouble.message;
    }
    await new Promise((again) => setTimeout(again, 20));
  }
  throw new Error(`not so after ${limit} ms: ${what} (last: ${JSON.stringify(last)})`);
}

export async function runAll(only) {
  let passed = 0, failed = 0;
  for (const { name, body } of cases.filter((one) => one.name.includes(only))) {
    const begin = performance.now();
    try {
      await body();
      ++passed;
      console.log(`ok ${name} (${((performance.now() - begin) / 1000).toFixed(1)} s)`);
    } catch (trouble) {
      ++failed;
      console.log(`not ok ${name}: ${trouble.message}`);
    }
  }
  console.log(`${passed} passed, ${failed} failed`);
  return failed === 0 && passed > 0;
}
