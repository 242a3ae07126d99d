using CaliperStation.Core.Records;
using CaliperStation.Storage;

namespace CaliperStation.Tests.Storage;

public sealed class ProvenSegmentsTests : IDisposable
{
    private const string Old = "2026-11.jsonl";
    private readonly TemporaryFolder _place = new();

    public ProvenSegmentsTests()
    {
        using Store store = StoreFixture.Work(Paths);
        using StationKey key = StationKey.Open(Paths);
        foreach (int day in (int[])[1, 2, 20, 50])   // three months: two closed segments and the newest
        {
            StoreFixture.File(store, key, day);
        }
    }

    private StorePaths Paths => _place.Paths;

    [Fact]
    public void Closed_segments_proven_once_are_trusted_at_the_next_start_and_the_newest_is_not()
    {
        Assert.Empty(ProvenSegments.Read(Paths));   // the store was empty when it was opened
        StoreFixture.Look(Paths).Dispose();
        IReadOnlyList<ProvenSegment> proven = ProvenSegments.Read(Paths);
        Assert.Equal([Old, "2026-12.jsonl"], proven.Select(segment => segment.Name));
        using Journal whole = Journal.Open(Paths, false, StoreFixture.Clock);
        using Journal trusting = Journal.Open(Paths, false, StoreFixture.Clock, proven);
        Assert.Equal((0, 12), (whole.TrustedThrough, trusting.TrustedThrough));
        Assert.Equal(whole.Report with { Damage = [] }, trusting.Report with { Damage = [] });
        Assert.Equal((whole.LastNumber, whole.LastHash), (trusting.LastNumber, trusting.LastHash));
        Assert.Equal(whole.Extents(), trusting.Extents());
        Assert.Equal(whole.Read(), trusting.Read());
    }

    [Fact]
    public void A_byte_changed_in_a_closed_segment_is_found_by_verify_though_the_file_looks_the_same_and_told_at_every_start_after()
    {
        StoreFixture.Look(Paths).Dispose();
        ChangeByte(putTimeBack: true);
        using (Store look = StoreFixture.Look(Paths))
        {
            Assert.True(look.Report.IsSound);   // trusted: this is what a quick start costs
            Assert.Contains(look.Records.Verify().Findings, finding => finding.Kind == FindingKind.Changed && finding.Where == $"{Old}, line 2");
        }

        using Store again = StoreFixture.Look(Paths);
        Assert.Equal((Old, 2), (Assert.Single(again.Report.Damage).File, again.Report.Damage[0].Line));
    }

    [Fact]
    public void A_closed_segment_with_another_time_is_proven_again()
    {
        StoreFixture.Look(Paths).Dispose();
        ChangeByte(putTimeBack: false);
        using Store look = StoreFixture.Look(Paths);
        Assert.Equal((Old, 2), (Assert.Single(look.Report.Damage).File, look.Report.Damage[0].Line));
    }

    [Theory]
    [InlineData("the index is missing")]
    [InlineData("the index is damaged")]
    [InlineData("the index is in use")]
    [InlineData("the note is damaged")]
    public void Nothing_is_trusted_when(string trouble)
    {
        StoreFixture.Look(Paths).Dispose();
        ChangeByte(putTimeBack: true);
        string note = Paths.Index + ".proven";
        using FileStream? held = trouble == "the index is in use" ? new(Paths.Index + ".lock", FileMode.Open, FileAccess.ReadWrite, FileShare.None) : null;
        switch (trouble)
        {
            case "the index is missing":
                File.Delete(Paths.Index);
                break;
            case "the index is damaged":
                File.WriteAllBytes(Paths.Index, [.. Enumerable.Repeat((byte)0x5A, 20_000)]);
                break;
            case "the note is damaged":
                File.WriteAllText(note, File.ReadAllText(note).Replace(" 8 ", " 9 ", StringComparison.Ordinal));
                break;
            default:
                break;
        }

        using Store look = StoreFixture.Look(Paths);
        Assert.Equal((Old, 2), (Assert.Single(look.Report.Damage).File, look.Report.Damage[0].Line));
    }

    [Fact]
    public void A_record_changed_in_a_trusted_segment_is_refused_when_it_is_looked_up_and_left_out_of_an_export()
    {
        StoreFixture.Look(Paths).Dispose();
        ChangeByte(putTimeBack: true, "\"valueNm\":3176000,", "\"valueNm\":3178000,");
        ChangeByte(putTimeBack: true, "\"valueNm\":3176000}", "\"valueNm\":3178000}");
        using Store look = StoreFixture.Look(Paths);
        Assert.True(look.Report.IsSound);
        Assert.Contains("records verify", Assert.Throws<StoreException>(() => look.Records.Find("sitting-1")).Message, StringComparison.Ordinal);
        List<string> lines = [];
        StoreException told = Assert.Throws<StoreException>(() => look.Records.Export(new(new(), Csv: true, WithoutInitials: false), bytes => lines.Add(System.Text.Encoding.UTF8.GetString(bytes.Span))));
        Assert.Contains(Old, told.Message, StringComparison.Ordinal);
        Assert.DoesNotContain(lines, text => text.Contains("sitting-1,", StringComparison.Ordinal));
        Assert.Contains(lines, text => text.Contains("sitting-2,", StringComparison.Ordinal));
    }

    private void ChangeByte(bool putTimeBack, string from = "\"valueNm\":3175000", string to = "\"valueNm\":3175001")
    {
        string path = Path.Combine(Paths.Journal, Old);
        DateTime time = File.GetLastWriteTimeUtc(path);
        string text = File.ReadAllText(path);
        int at = text.IndexOf(from, StringComparison.Ordinal);
        File.WriteAllText(path, at < 0 ? text : text[..at] + to + text[(at + from.Length)..]);
        File.SetLastWriteTimeUtc(path, putTimeBack ? time : time.AddSeconds(1));
    }

    public void Dispose() => _place.Dispose();
}
