/** The largest JSON body of a request: some thousand bench entries at once. Uploads of files have limits of their own. */
export const BODY_LIMIT_BYTES = 1_048_576;
