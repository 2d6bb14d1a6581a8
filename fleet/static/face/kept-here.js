// What stays in this browser until the server has it: entries under names that begin with whose they are.
// A browser that keeps nothing is no error: then the page itself still has what was typed.
const begins = (prefix) => (key) => key.startsWith(prefix);

export const read = (key) => {
  try {
    return JSON.parse(localStorage.getItem(key));
  } catch {
    return null;
  }
};

export const write = (key, entry) => {
  try {
    localStorage.setItem(key, JSON.stringify(entry));
  } catch {
    // The page itself still has it.
  }
};

export const drop = (key) => {
  try {
    localStorage.removeItem(key);
  } catch {
    // Nothing was kept.
  }
};

export const keysOf = (prefix) => {
  try {
    return Object.keys(localStorage).filter(begins(prefix));
  } catch {
    return [];
  }
};
