/** What the terminal chat has shown: its own memory, as a platform would keep it. */
export type TerminalMessageRow = { id: string; tag: string; place: string; only: string | null; nonce: string; message: string; at: number };
export type TerminalTables = { terminal_message: TerminalMessageRow };
