// Where a browser may die: before and after whatever reaches the disk, the network or another thread.

globalThis.watchPlaces = (here) => {
  const watch = (owner, name) => {
    const real = owner[name];
    owner[name] = function (...given) {
      here();
      const found = real.apply(this, given);
      if (found instanceof Promise) return found.then((value) => { here(); return value; });
      return found;
    };
  };
  for (const name of ["add", "put", "get"]) watch(IDBObjectStore.prototype, name);
  watch(IDBFactory.prototype, "open");
  watch(IDBDatabase.prototype, "transaction");
  watch(crypto.subtle, "digest");
  watch(window, "fetch");
  watch(Response.prototype, "text");
  const { set } = Object.getOwnPropertyDescriptor(IDBTransaction.prototype, "oncomplete");
  Object.defineProperty(IDBTransaction.prototype, "oncomplete", {
    configurable: true, set(handler) { set.call(this, (event) => { here(); handler(event); }); } });
};
