// @ts-check
/** A time limit for the phone's disk: some engines never answer near their quota. */

/** The write did not end in time or failed: nothing may be called kept. */
export class NotKept extends Error {
  name = "NotKept";
}

/** Any failure of the disk as the one that says nothing was kept. @param {unknown} error */
export function notKept(error) {
  if (error instanceof NotKept) return error;
  return new NotKept(error instanceof Error ? `${error.name}: ${error.message}` : String(error));
}

/** The work, or NotKept when it has not ended within `limit` ms. @template T @param {Promise<T>} work @param {number} limit @returns {Promise<T>} */
export function inTime(work, limit) {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => reject(new NotKept("The phone did not answer in time.")), limit);
    Promise.resolve(work).then(resolve, reject).finally(() => clearTimeout(timer));
  });
}
