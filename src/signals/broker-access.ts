/** What a broker is to be shown before it lets anybody in. */
export interface BrokerAccess {
  /** host:port. */
  address: string
  /** Null: plainly. `ca`: PEM of the authority that vouches for it; null: those that the machine trusts. */
  tls: { ca: string | null } | null
  user: string | null
  password: string | null
  /** Why it cannot even be tried, in words; null where it can. */
  barred: string | null
}

/** One that is reached plainly, as any that the works says nothing of. */
export function plainAccess(address: string): BrokerAccess {
  return { address, tls: null, user: null, password: null, barred: null }
}

/** Return codes of CONNACK (MQTT 3.1.1, 3.2.2.3, table 3.1). */
const REFUSED: Readonly<Record<number, string>> = {
  1: 'the broker speaks another version of MQTT than 3.1.1',
  2: 'the broker does not take our name',
  3: 'the broker is not ready',
  4: 'the broker does not take this user with this password',
  5: 'the broker does not let this user in',
}

/** Codes of Node's TLS (its documentation, X509 certificate error codes), and of RFC 8446 alerts as OpenSSL names them. */
const TLS_FAILURES: Readonly<Record<string, string>> = {
  UNABLE_TO_VERIFY_LEAF_SIGNATURE: 'its certificate is of an authority that is not trusted',
  UNABLE_TO_GET_ISSUER_CERT: 'its certificate is of an authority that is not trusted',
  UNABLE_TO_GET_ISSUER_CERT_LOCALLY: 'its certificate is of an authority that is not trusted',
  SELF_SIGNED_CERT_IN_CHAIN: 'its certificate is of an authority that is not trusted',
  DEPTH_ZERO_SELF_SIGNED_CERT: 'its certificate is vouched for by nobody',
  CERT_SIGNATURE_FAILURE: 'its certificate is of an authority that is not trusted',
  CERT_HAS_EXPIRED: 'its certificate has run out',
  CERT_NOT_YET_VALID: 'its certificate is not valid yet: look at the clocks',
  ERR_TLS_CERT_ALTNAME_INVALID: 'its certificate is of another name or address',
  ERR_SSL_WRONG_VERSION_NUMBER: 'it does not speak TLS at this port',
  EPROTO: 'it does not speak TLS at this port, or none that is new enough',
}

/** Why a connection failed, in words, and whether trying again soon is of use. */
export function connectFailure(error: Error): { why: string; isFinal: boolean } {
  const { code } = error as { code?: number | string }
  const refused = typeof code === 'number' ? REFUSED[code] : undefined
  if (refused !== undefined) return { why: refused, isFinal: code !== 3 }
  const tls = typeof code === 'string' ? TLS_FAILURES[code] : undefined
  if (tls !== undefined) return { why: tls, isFinal: true }
  return { why: error.message || String(code ?? 'the connection failed'), isFinal: false }
}
