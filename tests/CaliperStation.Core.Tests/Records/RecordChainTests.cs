using CaliperStation.Core.Judging;
using CaliperStation.Core.Records;

namespace CaliperStation.Core.Tests.Records;

public sealed class RecordChainTests : IDisposable
{
    private readonly Samples.Signer _signer = new();
    private readonly List<FiledRecord> _chain;

    public RecordChainTests() => _chain = Samples.Chain(_signer, 5);

    private HashSet<string> Known => [_signer.PublicKey];

    [Fact]
    public void A_sound_chain_has_no_findings() => Assert.Empty(RecordChain.Verify(_chain, Known));

    [Fact]
    public void A_changed_record_is_told_as_changed_and_only_it()
    {
        _chain[2] = With(_chain[2], text => text.Replace("QG-017", "QG-018", StringComparison.Ordinal));
        RecordFinding finding = Assert.Single(RecordChain.Verify(_chain, Known));
        Assert.Equal((FindingKind.Changed, "line 3", "sitting-3"), (finding.Kind, finding.Where, finding.Record));
    }

    [Fact]
    public void A_record_changed_together_with_its_hash_bears_a_bad_signature()
    {
        _chain[2] = With(_chain[2], text =>
        {
            string changed = text.Replace("QG-017", "QG-018", StringComparison.Ordinal);
            string hash = RecordSignature.Hash(SealedRecord.Read(changed)!.Bytes.Span);
            return changed.Replace(SealedRecord.Read(text)!.Hash, hash, StringComparison.Ordinal);
        });
        Assert.Contains(RecordChain.Verify(_chain, Known), finding => finding is { Kind: FindingKind.BadSignature, Where: "line 3" });
    }

    [Fact]
    public void A_missing_record_is_told_with_its_number()
    {
        _chain.RemoveAt(2);
        RecordFinding finding = Assert.Single(RecordChain.Verify(_chain, Known));
        Assert.Equal((FindingKind.Missing, (3, 3)), (finding.Kind, finding.Gone));
    }

    [Fact]
    public void A_chain_cut_off_at_its_end_is_missed_by_who_saw_it_longer()
    {
        _chain.RemoveRange(3, 2);
        Assert.Empty(RecordChain.Verify(_chain, Known));
        Dictionary<string, long> heads = new() { ["0123456789abcdef"] = 5 };
        Assert.Equal((4, 5), Assert.Single(RecordChain.Verify(_chain, Known, heads)).Gone);
        RecordFinding all = Assert.Single(RecordChain.Verify([], Known, heads));
        Assert.Equal((FindingKind.Missing, (1, 5)), (all.Kind, all.Gone));
    }

    [Fact]
    public void Swapped_records_are_told_as_out_of_order()
    {
        (_chain[1], _chain[2]) = (_chain[2], _chain[1]);
        RecordFinding finding = Assert.Single(RecordChain.Verify(_chain, Known));
        Assert.Equal((FindingKind.OutOfOrder, "line 2"), (finding.Kind, finding.Where));
    }

    [Fact]
    public void A_record_that_stands_there_twice_is_told_as_inserted()
    {
        _chain.Insert(3, _chain[1] with { Where = "line 3½" });
        RecordFinding finding = Assert.Single(RecordChain.Verify(_chain, Known));
        Assert.Equal((FindingKind.Inserted, "line 3½"), (finding.Kind, finding.Where));
    }

    [Fact]
    public void A_record_put_in_with_the_stations_own_key_does_not_follow()
    {
        SealedRecord forged = SealedRecord.Seal(Samples.Record(3, new string('f', 64)) with { Id = "forged" }, _signer);
        _chain[2] = new FiledRecord("line 3", forged);
        IReadOnlyList<RecordFinding> findings = RecordChain.Verify(_chain, Known);
        Assert.Contains(findings, finding => finding is { Kind: FindingKind.Inserted, Record: "forged" });
    }

    [Fact]
    public void A_record_signed_by_a_stranger_is_told_so()
    {
        using Samples.Signer stranger = new();
        _chain[4] = new FiledRecord("line 5", SealedRecord.Seal(_chain[4].Sealed!.Record!, stranger));
        RecordFinding finding = Assert.Single(RecordChain.Verify(_chain, Known));
        Assert.Equal((FindingKind.UnknownKey, "line 5"), (finding.Kind, finding.Where));
    }

    [Fact]
    public void A_signature_of_another_record_is_told_as_bad()
    {
        _chain[1] = With(_chain[1], text => text.Replace(_chain[1].Sealed!.Signature, _chain[2].Sealed!.Signature, StringComparison.Ordinal));
        Assert.Equal(FindingKind.BadSignature, Assert.Single(RecordChain.Verify(_chain, Known)).Kind);
    }

    [Fact]
    public void A_retired_key_still_counts_when_it_is_known()
    {
        using Samples.Signer next = new();
        _chain.Add(new FiledRecord("line 6", SealedRecord.Seal(Samples.Record(6, _chain[4].Sealed!.Hash) with { Verified = false }, next)));
        Assert.Empty(RecordChain.Verify(_chain, new HashSet<string> { _signer.PublicKey, next.PublicKey }));
    }

    [Fact]
    public void Any_single_character_of_a_sealed_record_changed_is_found()
    {
        string text = _chain[0].Sealed!.ToText();
        for (int index = 0; index < text.Length; index++)
        {
            string changed = text[..index] + (text[index] == '0' ? '1' : '0') + text[(index + 1)..];
            Assert.True(RecordChain.VerifyOne(new("line 1", SealedRecord.Read(changed)), Known).Any(), $"character {index} changed was not found");
        }
    }

    [Fact]
    public void A_sealed_record_is_read_back_as_it_was()
    {
        string text = _chain[0].Sealed!.ToText();
        Assert.DoesNotContain('\n', text);
        Assert.Equal(text, SealedRecord.Read(text)!.ToText());
        Assert.Null(SealedRecord.Read(text + " "));
        Assert.Null(SealedRecord.Read("{}"));
        Assert.Null(SealedRecord.Read("\0"));
    }

    public void Dispose() => _signer.Dispose();

    private static FiledRecord With(FiledRecord filed, Func<string, string> change) => filed with { Sealed = SealedRecord.Read(change(filed.Sealed!.ToText())) };

    public static TheoryData<string> Contradictions => new(_contradicting.Keys);

    private static readonly Dictionary<string, Func<Core.Records.Record, Core.Records.Record>> _contradicting = new()
    {
        ["it ends before it begins"] = record => record with { Closed = record.Started.AddMilliseconds(-1) },
        ["verified with a verdict that is not within"] = record => record with { Verified = true },
        ["verified with something set aside"] = record => Verified(record) with { Asides = [new("rack-gap", null, "thread broke", record.Closed)] },
        ["verified with a comparison that does not agree"] = record => Verified(record) with { Comparisons = [new("rack-left", "carries", 3_175_000, 3_900_000, 3.2, false)] },
        ["a comparison that agrees against its figure"] = record => Verified(record) with { Comparisons = [new("rack-left", "carries", 3_175_000, 3_900_000, 3.2, true)] },
        ["within beyond its limit"] = record => Verified(record) with { Verdicts = [record.Verdicts[0] with { Verdict = Verdict.Within, Value = 2_778_124 }] },
    };

    private static Core.Records.Record Verified(Core.Records.Record record) =>
        record with { Verified = true, Verdicts = [record.Verdicts[0] with { Verdict = Verdict.Within }] };

    [Theory]
    [MemberData(nameof(Contradictions))]
    public void A_signed_record_that_contradicts_itself_is_told(string what)
    {
        using Samples.Signer signer = new();
        Core.Records.Record sound = Samples.Record() with { Verified = false };
        HashSet<string> keys = [signer.PublicKey];
        Assert.Empty(RecordChain.Verify([new("line 1", SealedRecord.Seal(sound, signer))], keys));
        Assert.Empty(RecordChain.Verify([new("line 1", SealedRecord.Seal(Verified(sound), signer))], keys));
        RecordFinding finding = Assert.Single(RecordChain.Verify([new("line 1", SealedRecord.Seal(_contradicting[what](sound), signer))], keys));
        Assert.Equal(FindingKind.Contradiction, finding.Kind);
    }
}
