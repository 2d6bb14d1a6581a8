// What stays in this browser until the server has it: entries under names that begin with whose they are.
// Where a browser keeps nothing, this page keeps it as long as it is open: nothing is sent less for that.
const inThisPage = new Map();

const begins = (prefix) => (key) => key.startsWith(prefix);

export const read = (key) => {
  try {
    return JSON.parse(localStorage.getItem(key) ?? inThisPage.get(key) ?? null);
  } catch {
    return JSON.parse(inThisPage.get(key) ?? null);
  }
};

export const write = (key, entry) => {
  const text = JSON.stringify(entry);
  try {
    localStorage.setItem(key, text);
    inThisPage.delete(key);
  } catch {
    inThisPage.set(key, text);
  }
};

export const drop = (key) => {
  inThisPage.delete(key);
  try {
    localStorage.removeItem(key);
  } catch {
    // It was never there.
  }
};

export const keysOf = (prefix) => {
  const here = [...inThisPage.keys()];
  try {
    here.push(...Object.keys(localStorage));
  } catch {
    // Only this page has any.
  }
  return [...new Set(here)].filter(begins(prefix));
};

export const isStillIt = (key, entry) => read(key)?.act === entry.act;
