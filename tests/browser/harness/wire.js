// The wire between one visitor and the server: a proxy of their browser's own, which can be cut.
//
// A browser that is told to be offline may still let a worker through that it has just started again, so the line is
// taken away where it really is one.
import { createServer, request } from "node:http";
import { connect } from "node:net";

/** Lays a wire: what to give the browser as its proxy, and how to cut and to mend it. */
export async function openWire() {
  const open = new Set();
  let isWhole = true;
  const proxy = createServer((asked, answer) => {
    if (!isWhole) return asked.destroy();
    const { "proxy-connection": _, ...headers } = asked.headers;
    const sent = request(asked.url, { method: asked.method, headers }, (given) => {
      answer.writeHead(given.statusCode, given.rawHeaders);
      given.pipe(answer);
      given.on("error", () => answer.destroy());
    });
    sent.on("error", () => answer.destroy());
    answer.on("close", () => sent.destroy());
    asked.pipe(sent);
  });
  proxy.on("connect", ({ url }, near) => {
    if (!isWhole) return near.destroy();
    const [host, port] = url.split(":");
    const far = connect(Number(port), host, () => {
      near.write("HTTP/1.1 200 Connected\r\n\r\n");
      far.pipe(near).pipe(far);
    });
    for (const [one, other] of [[near, far], [far, near]]) {
      one.on("error", () => other.destroy());
      one.on("close", () => other.destroy());
    }
  });
  proxy.on("connection", (socket) => {
    if (!isWhole) return socket.destroy();
    open.add(socket);
    socket.on("close", () => open.delete(socket));
  });
  await new Promise((done) => proxy.listen(0, "127.0.0.1", done));
  return {
    server: `http://127.0.0.1:${proxy.address().port}`,
    /** Lets everything through, or nothing: what is on its way is lost. */
    lets(through) {
      isWhole = through;
      if (!through) for (const socket of open) socket.destroy();
    },
    async close() {
      for (const socket of open) socket.destroy();
      await new Promise((done) => proxy.close(done));
    },
  };
}
