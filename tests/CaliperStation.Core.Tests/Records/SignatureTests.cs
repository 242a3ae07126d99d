using System.Text;
using CaliperStation.Core.Records;

namespace CaliperStation.Core.Tests.Records;

public class SignatureTests
{
    private const string P256Head = "3059301306072A8648CE3D020106082A8648CE3D03010703420004";

    /// <summary>FIPS 180-4 by its published examples (NIST, "SHA-256 example", one block and two block message;
    /// https://csrc.nist.gov/CSRC/media/Projects/Cryptographic-Standards-and-Guidelines/documents/examples/SHA256.pdf). The digests are from memory.</summary>
    [Theory]
    [InlineData("abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad")]
    [InlineData("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq", "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1")]
    [InlineData("", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855")]
    public void Hashes_are_those_of_the_published_examples(string message, string digest) =>
        Assert.Equal(digest, RecordSignature.Hash(Encoding.ASCII.GetBytes(message)));

    /// <summary>
    /// RFC 6979, A.2.5 (ECDSA, 256 bits, SHA-256, messages "sample" and "test"); https://www.rfc-editor.org/rfc/rfc6979#appendix-A.2.5; the
    /// second signature is from memory. And the worked example of ECDSA with P-256 and SHA-256 that accompanies FIPS 186;
    /// https://csrc.nist.gov/CSRC/media/Projects/Cryptographic-Standards-and-Guidelines/documents/examples/P256_SHA256.pdf.
    /// </summary>
    [Theory]
    [InlineData("sample",
        "60FED4BA255A9D31C961EB74C6356D68C049B8923B61FA6CE669622E60F29FB6", "7903FE1008B8BC99A41AE9E95628BC64F2F1B20C2D7E9F5177A3C294D4462299",
        "EFD48B2AACB6A8FD1140DD9CD45E81D69D2C877B56AAF991C34D0EA84EAF3716", "F7CB1C942D657C41D436C7A1B6E29F65F3E900DBB9AFF4064DC4AB2F843ACDA8")]
    [InlineData("test",
        "60FED4BA255A9D31C961EB74C6356D68C049B8923B61FA6CE669622E60F29FB6", "7903FE1008B8BC99A41AE9E95628BC64F2F1B20C2D7E9F5177A3C294D4462299",
        "F1ABB023518351CD71D881567B1EA663ED3EFCF6C5132B354F28D3B0B7D38367", "019F4113742A2B14BD25926B49C649155F267E60D3814B4C0CC84250E46F0083")]
    [InlineData("Example of ECDSA with P-256",
        "B7E08AFDFE94BAD3F1DC8C734798BA1C62B3A0AD1E9EA2A38201CD0889BC7A19", "3603F747959DBF7A4BB226E41928729063ADC7AE43529E61B563BBC606CC5E09",
        "2B42F576D07F4165FF65D1F3B1500F81E44C316F1F0B3EF57325B69ACA46104F", "DC42C2122D6392CD3E3A993A89502A8198C1886FE69D262C4B329BDB6B63FAF1")]
    public void Published_signatures_verify_and_not_over_anything_else(string message, string x, string y, string r, string s)
    {
        string key = Convert.ToBase64String(Convert.FromHexString(P256Head + x + y));
        string signature = Convert.ToBase64String(Convert.FromHexString(r + s));
        Assert.True(RecordSignature.Verify(key, Encoding.ASCII.GetBytes(message), signature));
        Assert.False(RecordSignature.Verify(key, Encoding.ASCII.GetBytes(message + "."), signature));
        Assert.False(RecordSignature.Verify(key, Encoding.ASCII.GetBytes(message), Convert.ToBase64String(Convert.FromHexString(s + r))));
    }

    [Fact]
    public void Every_changed_character_of_key_and_signature_is_found()
    {
        using Samples.Signer signer = new();
        byte[] message = "a record"u8.ToArray();
        string key = signer.PublicKey;
        string signature = signer.Sign(message);
        Assert.True(RecordSignature.Verify(key, message, signature));
        for (int index = 0; index < key.Length; index++)
        {
            Assert.False(RecordSignature.Verify(Flip(key, index), message, signature));
        }

        for (int index = 0; index < signature.Length; index++)
        {
            Assert.False(RecordSignature.Verify(key, message, Flip(signature, index)));
        }

        static string Flip(string text, int index) => text[..index] + (text[index] == 'A' ? 'B' : 'A') + text[(index + 1)..];
    }

    [Theory]
    [InlineData("")]
    [InlineData("no base64 at all")]
    [InlineData("MFkwEwYHKoZIzj0CAQYIKoZIzj0DAQcDQgAEAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA==")]
    public void Text_that_is_no_key_verifies_nothing(string key) => Assert.False(RecordSignature.Verify(key, "x"u8, Convert.ToBase64String(new byte[64])));

    [Fact]
    public void A_key_has_a_short_id_and_other_text_has_none()
    {
        using Samples.Signer signer = new();
        Assert.Matches("^[0-9a-f]{16}$", RecordSignature.KeyId(signer.PublicKey));
        Assert.Null(RecordSignature.KeyId("AAAA"));
    }
}
