using System.Text;
using CaliperStation.Core.Records;
using CsCheck;

namespace CaliperStation.Core.Tests.Records;

public sealed class RecordCardTests
{
    /// <summary>The examples of RFC 9285 (August 2022), 4.3 and 4.4: https://www.rfc-editor.org/rfc/rfc9285.</summary>
    [Theory]
    [InlineData("AB", "BB8")]
    [InlineData("Hello!!", "%69 VD92EX0")]
    [InlineData("base-45", "UJCLQE7W581")]
    [InlineData("ietf!", "QED8WEX0")]
    public void Base45_is_as_published(string text, string encoded)
    {
        Assert.Equal(encoded, Base45.Encode(Encoding.ASCII.GetBytes(text)));
        Assert.Equal(text, Encoding.ASCII.GetString(Base45.Decode(encoded)!));
    }

    /// <summary>The same, 6: 65536 in three signs ("GGW" is the largest, "::…" beyond), a length that no bytes have, a sign of no alphabet.</summary>
    [Theory]
    [InlineData("GGX")]
    [InlineData(":::")]
    [InlineData("A")]
    [InlineData("BB8A")]
    [InlineData("bb8")]
    [InlineData("ZZ")]   // 1610 is no byte
    public void Text_that_is_no_Base45_is_refused(string text) => Assert.Null(Base45.Decode(text));

    [Fact]
    public void Base45_loses_nothing() => Gen.Byte.Array[0, 60].Sample(bytes => Base45.Decode(Base45.Encode(bytes))!.AsSpan().SequenceEqual(bytes));

    [Fact]
    public void A_card_says_what_the_record_is_and_fits_a_code_of_capitals()
    {
        using Samples.Signer signer = new();
        SealedRecord seal = Samples.Chain(signer, 1)[0].Sealed!;

        RecordCard card = RecordCard.Of(seal)!;

        Assert.Equal(("0123456789abcdef", 1, "sitting-1", seal.Hash, seal.Signature), (card.Chain, card.Number, card.Id, card.Hash, card.Signature));
        Assert.Equal(card, RecordCard.Read(card.Text));
        Assert.Equal(card, RecordCard.Read($"  {card.Text}\r\n"));
        Assert.Matches(@"\ACARD1:[0-9A-Z $%*+\-./:]{100,220}\z", card.Text);
        Assert.True(card.IsSignedBy([signer.PublicKey]));
    }

    [Theory]
    [InlineData(1)]
    [InlineData(127)]
    [InlineData(128)]
    [InlineData(1_000_000)]
    [InlineData(999_999_999_999)]
    public void Every_number_comes_back(long number)
    {
        RecordCard card = new("0123456789abcdef", number, "a", new string('a', 64), Convert.ToBase64String(new byte[64]));

        Assert.Equal(card, RecordCard.Read(card.Text));
    }

    [Fact]
    public void No_other_text_says_the_same_card() => Gen.Select(Gen.Int[6, 160], Gen.Char["0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"]).Sample((at, sign) =>
    {
        RecordCard card = new("0123456789abcdef", 77, "20261125T011905123Z-QG-017", new string('a', 64), Convert.ToBase64String(new byte[64]));
        string text = card.Text;
        string changed = text[..at] + sign + text[(at + 1)..];
        return changed == text || RecordCard.Read(changed) is not { } read || (read != card && read.Text == changed);
    });

    [Theory]
    [InlineData("")]
    [InlineData("CARD1:")]
    [InlineData("CARD1:GGX")]
    [InlineData("card1:000")]
    [InlineData("https://example.org/")]
    [InlineData("CARD1:\u001b[31m")]
    public void Text_that_is_no_card_is_refused(string text) => Assert.Null(RecordCard.Read(text));

    [Fact]
    public void Any_bytes_are_a_card_or_none() => Gen.Byte.Array[0, 200].Sample(bytes => RecordCard.Read("CARD1:" + Base45.Encode(bytes)) is not { } card || card.Text == "CARD1:" + Base45.Encode(bytes));

    [Fact]
    public void A_store_that_holds_the_record_says_the_same()
    {
        using Samples.Signer signer = new();
        List<FiledRecord> store = Samples.Chain(signer, 3);

        Assert.Equal((CardFinding.Same, true), Check(RecordCard.Of(store[1].Sealed!)!, store, signer));
    }

    [Fact]
    public void A_store_that_ends_before_the_card_is_older_than_it()
    {
        using Samples.Signer signer = new();
        List<FiledRecord> store = Samples.Chain(signer, 3);

        Assert.Equal((CardFinding.Older, true), Check(RecordCard.Of(store[2].Sealed!)!, store[..2], signer));
    }

    [Fact]
    public void A_card_whose_id_or_number_was_misread_is_no_word_against_the_store()
    {
        using Samples.Signer signer = new();
        List<FiledRecord> store = Samples.Chain(signer, 3);
        RecordCard card = RecordCard.Of(store[1].Sealed!)!;

        Assert.Equal((CardFinding.Other, false), Check(card with { Number = 3 }, store, signer));
        Assert.Equal((CardFinding.Other, false), Check(card with { Id = card.Id + "x" }, store, signer));
        Assert.Equal((CardFinding.Other, false), Check(card with { Chain = new string('f', 16) }, store, signer));
    }

    [Fact]
    public void A_store_whose_record_is_gone_or_another_is_told_from_a_forged_card()
    {
        using Samples.Signer signer = new(), stranger = new();
        List<FiledRecord> store = Samples.Chain(signer, 3), forged = Samples.Chain(stranger, 3);
        RecordCard card = RecordCard.Of(store[1].Sealed!)!;
        SealedRecord rewritten = SealedRecord.Seal(store[1].Sealed!.Record! with { Tag = "QG-018" }, signer);

        Assert.Equal((CardFinding.Other, true), Check(card, [store[0], new("line 2", rewritten), store[2]], signer));
        Assert.Equal((CardFinding.Other, true), Check(card, [store[0], store[2]], signer));
        Assert.Equal((CardFinding.Other, false), Check(RecordCard.Of(forged[1].Sealed!)!, store, signer));
        Assert.Equal((CardFinding.Unknown, false), Check(card with { Chain = new string('f', 16), Id = "another", Hash = new string('0', 64) }, store, signer));
        Assert.Equal((CardFinding.Unknown, false), Check(card with { Number = 9, Id = "another", Hash = new string('0', 64) }, store, signer));
    }

    private static (CardFinding Finding, bool IsSigned) Check(RecordCard card, IEnumerable<FiledRecord> store, Samples.Signer signer)
    {
        CardCheck check = CardCheck.Of(card, store, new HashSet<string> { signer.PublicKey });
        return (check.Finding, check.IsSigned);
    }
}
