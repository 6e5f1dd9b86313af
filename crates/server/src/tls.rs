//! A certificate of our own: made once, kept by the caller, known by its fingerprint.

use rcgen::{CertificateParams, DnType, KeyPair};
use sha2::{Digest, Sha256};
use std::fmt::Write as _;
use std::io;
use std::sync::Arc;
use tokio_rustls::TlsAcceptor;
use tokio_rustls::rustls::ServerConfig;
use tokio_rustls::rustls::crypto::ring;
use tokio_rustls::rustls::pki_types::pem::PemObject;
use tokio_rustls::rustls::pki_types::{CertificateDer, PrivateKeyDer};

/// A certificate with its key.
pub struct Identity {
    certificate: CertificateDer<'static>,
    key: PrivateKeyDer<'static>,
    text: String,
}

impl std::fmt::Debug for Identity {
    /// Without the key.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Identity({})", self.fingerprint())
    }
}

impl Identity {
    /// Makes a certificate that signs itself, for these names and addresses.
    ///
    /// # Errors
    /// When a name cannot stand in a certificate.
    pub fn make(names: &[String]) -> io::Result<Self> {
        let key = KeyPair::generate().map_err(io::Error::other)?;
        let mut params = CertificateParams::new(names).map_err(io::Error::other)?;
        params.distinguished_name.push(DnType::CommonName, "Binwright workbench");
        let certificate = params.self_signed(&key).map_err(io::Error::other)?;
        Self::read(&format!("{}{}", certificate.pem(), key.serialize_pem()))
    }

    /// Reads certificate and key from the text [`Identity::text`] gave.
    ///
    /// # Errors
    /// When it holds no certificate or no key.
    pub fn read(text: &str) -> io::Result<Self> {
        let certificate = CertificateDer::from_pem_slice(text.as_bytes()).map_err(io::Error::other)?;
        let key = PrivateKeyDer::from_pem_slice(text.as_bytes()).map_err(io::Error::other)?;
        Ok(Self { certificate, key, text: text.to_string() })
    }

    /// Certificate and key as PEM, to be kept where only the user can read.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// SHA-256 of the certificate as browsers show it: pairs of digits with colons.
    pub fn fingerprint(&self) -> String {
        let digest = Sha256::digest(&self.certificate);
        digest.iter().enumerate().fold(String::new(), |mut text, (k, byte)| {
            let _ = write!(text, "{}{byte:02X}", if k == 0 { "" } else { ":" });
            text
        })
    }

    /// What speaks TLS with it.
    pub(crate) fn acceptor(&self) -> io::Result<TlsAcceptor> {
        let config = ServerConfig::builder_with_provider(Arc::new(ring::default_provider()))
            .with_safe_default_protocol_versions()
            .map_err(io::Error::other)?
            .with_no_client_auth()
            .with_single_cert(vec![self.certificate.clone()], self.key.clone_key())
            .map_err(io::Error::other)?;
        Ok(TlsAcceptor::from(Arc::new(config)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kept_and_read_again_it_is_the_same() {
        let made = Identity::make(&["localhost".into(), "192.168.1.5".into()]).unwrap();
        let read = Identity::read(made.text()).unwrap();
        assert_eq!(made.fingerprint(), read.fingerprint());
        assert_eq!(made.fingerprint().len(), 95);
        assert!(read.acceptor().is_ok());
        assert!(!format!("{made:?}").contains("PRIVATE"));
        assert!(Identity::read("nothing").is_err());
    }
}
