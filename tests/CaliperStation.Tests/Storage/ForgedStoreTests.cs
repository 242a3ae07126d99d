using CaliperStation.Core.Records;
using CaliperStation.Storage;

namespace CaliperStation.Tests.Storage;

/// <summary>What somebody can do who may write every file of the store but has not the station's key; hashes are made by anybody.</summary>
public sealed class ForgedStoreTests : IDisposable
{
    private readonly TemporaryFolder _place = new();

    private StorePaths Paths => _place.Paths;

    /// <summary>Every single edit of an event is told, also without the index, and nothing is written on top of it.</summary>
    [Fact]
    public void Any_event_edited_with_all_hashes_made_anew_is_named_and_stops_the_bench()
    {
        StoreFixture.Fill(Paths, 2);
        File.Delete(Paths.Index);
        List<JournalLine> lines = Lines();
        byte[] whole = File.ReadAllBytes(Segment);
        for (int edited = 0; edited < lines.Count; edited++)
        {
            foreach (bool keepsSignatures in (bool[])[true, false])
            {
                Forge(lines, line => line == lines[edited] ? line with { Body = line.Body[..^1] + " }" } : line, keepsSignatures ? whole : null);
                Assert.Equal(keepsSignatures ? edited + 1 : null, NumberOfDamage());
            }
        }

        Forge(lines, line => line, whole);
        Assert.True(StoreFixture.Look(Paths).Report.IsSound);   // the same lines with their own signatures hold
    }

    [Fact]
    public void An_open_sittings_reading_that_was_edited_is_never_signed()
    {
        using (Store store = StoreFixture.Work(Paths))
        {
            store.Append(StoreFixture.At, "s-1", "started", StoreFixture.Started("s-1", "QG-001"));
            store.Append(StoreFixture.At, "s-1", "reading", """{"step":"rack-left","valueNm":4175000}""");
        }

        Forge(Lines(), line => line with { Body = line.Body.Replace("4175000", "3175000", StringComparison.Ordinal) }, File.ReadAllBytes(Segment));
        using StringWriter error = new();
        StoreException refused = Assert.Throws<StoreException>(() => OpenStore.ForWork(Paths, StoreFixture.Clock, error));
        Assert.Equal(StoreFault.Damaged, refused.Fault);
        Assert.Equal((2, DamageKind.NotSigned), (refused.Damage[0].Line, refused.Damage[0].Kind));
    }

    /// <summary>Without signatures the store looks like one of a version before; the signed record still says of which events it was made.</summary>
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2)]
    public void A_record_is_told_when_an_event_of_its_sitting_was_changed_and_every_signature_stripped(int edited)
    {
        using (Store store = StoreFixture.Work(Paths))
        {
            JournalLine first = store.Append(StoreFixture.At, "sitting-1", "started", StoreFixture.Started("sitting-1", "QG-001"));
            store.Append(StoreFixture.At, "sitting-1", "reading", """{"step":"rack-left","valueNm":4175000}""");
            JournalLine last = store.Append(StoreFixture.At, "sitting-1", "signed", """{"initials":"CD"}""");
            RecordEvents events = new(new(first.Number, first.Hash), new(last.Number, last.Hash));
            RecordStore.Close(store, StoreFixture.Make(1, store.Records.NextPlace(store.Key)) with { Events = events }, store.Key, StoreFixture.At);
            Assert.Empty(store.Records.Verify().Findings);
        }

        File.Delete(Paths.Index);
        List<JournalLine> lines = Lines();
        Forge(lines, line => line == lines[edited] ? line with { Body = line.Body[..^1] + " }" } : line, null);
        using Store look = StoreFixture.Look(Paths);
        Assert.Equal(FindingKind.Changed, Assert.Single(look.Records.Verify().Findings, finding => finding.Record == "sitting-1").Kind);
    }

    [Fact]
    public void A_line_without_a_signature_after_signed_ones_is_named()
    {
        StoreFixture.Fill(Paths, 1);
        List<JournalLine> lines = Lines();
        File.AppendAllBytes(Segment, JournalFormat.Write(lines[^1].Number + 1, StoreFixture.At, "s", "note", "{}", lines[^1].Hash, out _));
        using Store look = StoreFixture.Look(Paths);
        Assert.Equal((DamageKind.Changed, lines.Count + 1), (Assert.Single(look.Report.Damage).Kind, look.Report.Damage[0].Line));
    }

    [Fact]
    public void Lines_signed_with_a_foreign_key_are_named_also_when_its_public_half_lies_in_the_folder_of_keys()
    {
        StoreFixture.Fill(Paths, 1);
        List<JournalLine> lines = Lines();
        using TemporaryFolder other = new();
        other.Paths.Create();
        using StationKey foreign = StationKey.Open(other.Paths);
        foreach (string file in Directory.GetFiles(other.Paths.Keys, "*.pub.pem"))
        {
            File.Copy(file, Path.Combine(Paths.Keys, Path.GetFileName(file)));
        }

        File.AppendAllBytes(Segment, JournalFormat.Write(lines[^1].Number + 1, StoreFixture.At, "s", "note", "{}", lines[^1].Hash, out _, foreign));
        using Store look = StoreFixture.Look(Paths);
        Assert.Equal(lines.Count + 1, Assert.Single(look.Report.Damage).Line);
        Assert.DoesNotContain(foreign.PublicKey, look.Known.All);
    }

    [Fact]
    public void A_key_that_is_gone_or_another_one_is_refused_and_a_new_one_is_told()
    {
        StoreFixture.Fill(Paths, 1);
        string path = Path.Combine(Paths.Keys, "station.pem");
        byte[] own = File.ReadAllBytes(path);
        File.Delete(path);
        Assert.Equal(StoreFault.KeyGone, Assert.Throws<StoreException>(() => StoreFixture.Work(Paths)).Fault);
        using (TemporaryFolder other = new())
        {
            other.Paths.Create();
            StationKey.Open(other.Paths).Dispose();
            File.Copy(Path.Combine(other.Paths.Keys, "station.pem"), path);
        }

        Assert.Equal(StoreFault.KeyListChanged, Assert.Throws<StoreException>(() => StoreFixture.Work(Paths)).Fault);
        File.WriteAllBytes(path, own);
        StoreFixture.Work(Paths).Dispose();

        File.Delete(path);
        StationKey.Renew(Paths, "the disk broke", StoreFixture.At, out bool wasLost).Dispose();
        Assert.True(wasLost);
        using Store again = StoreFixture.Work(Paths);
        StoreFixture.File(again, again.Key, 2);
        Assert.Contains("the disk broke", Assert.Single(again.Records.Verify().NewKeys), StringComparison.Ordinal);
    }

    [Fact]
    public void A_list_of_keys_that_was_added_to_or_taken_away_is_refused()
    {
        StoreFixture.Fill(Paths, 1);
        string list = Path.Combine(Paths.Keys, "trusted.json");
        string text = File.ReadAllText(list);
        File.WriteAllText(list, text.Replace("\"own\":true", "\"own\":false", StringComparison.Ordinal));
        Assert.Throws<StoreException>(() => StoreFixture.Work(Paths));
        Assert.Throws<StoreException>(() => StoreFixture.Look(Paths));
        File.Delete(list);
        Assert.Throws<StoreException>(() => StoreFixture.Work(Paths));
        File.WriteAllText(list, text);
        StoreFixture.Work(Paths).Dispose();
    }

    /// <summary>A journal of a version before has no signatures; there a record counts by its own.</summary>
    [Fact]
    public void A_record_said_to_be_verified_without_a_signature_of_its_own_is_not()
    {
        StoreFixture.Fill(Paths, 3);
        List<JournalLine> lines = Lines();
        File.Delete(Paths.Index);
        Forge(lines, line => line with { Body = line.Body.Replace("\"verified\":false", "\"verified\":true", StringComparison.Ordinal) }, null);
        Assert.Contains(lines, line => line.Body.Contains("\"verified\":false", StringComparison.Ordinal));
        using (Store look = StoreFixture.Look(Paths))
        {
            Assert.Equal(lines.Where(line => line.Kind == RecordStore.Kind).Select(line => line.Body.Contains("\"verified\":true", StringComparison.Ordinal)), look.Records.Summaries(new()).Select(record => record.Verified));
        }

        using Store without = StoreFixture.LookAtTheJournal(Paths);
        Assert.Contains(without.Records.Summaries(new()), record => !record.Verified);
    }

    private string Segment => Directory.GetFiles(Paths.Journal).Single();

    private List<JournalLine> Lines()
    {
        using Journal journal = Journal.Open(Paths, false, StoreFixture.Clock);
        return [.. journal.Read()];
    }

    /// <summary>Writes the journal anew with good hashes; signatures are those of the lines before, or none.</summary>
    private void Forge(IEnumerable<JournalLine> lines, Func<JournalLine, JournalLine> edit, byte[]? signed) => StoreFixture.Forge(Segment, lines, edit, signed);

    private long? NumberOfDamage()
    {
        using Store look = StoreFixture.Look(Paths);
        if (look.Report.IsSound)
        {
            return null;
        }

        int line = Assert.Single(look.Report.Damage).Line;
        Assert.Contains(look.Records.Verify().Findings, finding => finding.Where == $"2026-11.jsonl, line {line}");
        return line;
    }

    public void Dispose() => _place.Dispose();
}
