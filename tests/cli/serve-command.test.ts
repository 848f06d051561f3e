import { createServer } from "node:net";
import { lanAddresses } from "@pinwalk/host/server/access/lan-addresses.js";
import { expect, it } from "vitest";
import { PinwalkCommand, pinwalk } from "./pinwalk-command.js";

it("pinwalk serve says where the dashboard is, answers there, and ends at Ctrl-C", async () => {
  const command = new PinwalkCommand(["serve", "--port", "0"]);
  const [, url = ""] = await command.said(/(http:\/\/127\.0\.0\.1:\d+)/);
  expect((await fetch(url)).headers.get("content-security-policy")).not.toBeNull();
  command.signal("SIGINT");
  const { code, err } = await command.ended;
  expect(code).toBe(0);
  expect(err).toContain("every output is off");
});

it("pinwalk serve says what to do when the port it was given is taken", async () => {
  const other = createServer();
  const port = await new Promise<number>((resolve) => {
    other.listen(0, "127.0.0.1", () => {
      const address = other.address();
      resolve(typeof address === "object" && address ? address.port : 0);
    });
  });
  try {
    const { code, err } = await pinwalk("serve", "--port", String(port));
    expect(code).toBe(3);
    expect(err).toMatch(/taken.*--port/);
  } finally {
    other.close();
  }
});

it.skipIf(lanAddresses().length === 0)(
  "pinwalk serve --lan says where phones find it, how they are let in, and that nothing is encrypted",
  async () => {
    const command = new PinwalkCommand(["serve", "--port", "0", "--lan"]);
    const [, url = ""] = await command.said(/On the local network: +(http:\/\/\S+)/);
    await command.said(/People.*encrypted/);
    expect((await fetch(`${url}/records/list`)).status).toBe(401);
    command.signal("SIGINT");
    expect((await command.ended).code).toBe(0);
  },
);

it("pinwalk serve --lan refuses an address that is not this machine's, and lets the port go", async () => {
  // Kept for documents (RFC 5737): nobody has it.
  const { code, err } = await pinwalk("serve", "--port", "0", "--lan", "203.0.113.9");
  expect(code).toBe(3);
  expect(err).toContain("none of this machine's");
});
