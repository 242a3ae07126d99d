using CaliperStation.Core.Quantities;
using CaliperStation.Core.Studies;
using CaliperStation.Storage;

namespace CaliperStation.Tests.Storage;

public sealed class CheckJournalTests : IDisposable
{
    private static readonly DateTimeOffset _day = new(2026, 1, 1, 8, 0, 0, TimeSpan.Zero);
    private readonly TemporaryFolder _place = new();

    public void Dispose() => _place.Dispose();

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void The_last_check_of_each_port_is_found_with_the_index_and_without(bool withoutIndex)
    {
        StorePaths paths = _place.Paths;
        paths.Create();
        using (Store store = Store.OpenForWork(paths, TimeProvider.System, _ => { }))
        {
            CheckJournal.Keep(store, Check(30), "a", _day);
            CheckJournal.Keep(store, Check(10), "a", _day.AddDays(1));
            CheckJournal.Keep(store, Check(30), "b", _day.AddDays(2));
            Assert.Equal(new SavedCheck(_day.AddDays(1), true, Length.FromMicrometres(10)), CheckJournal.Last(store, "a"));
        }

        if (withoutIndex)
        {
            File.Delete(paths.Index);
        }

        using Store again = Store.OpenToLook(paths, TimeProvider.System, _ => { });
        Assert.Equal(new SavedCheck(_day.AddDays(1), true, Length.FromMicrometres(10)), CheckJournal.Last(again, "a"));
        Assert.Equal(new SavedCheck(_day.AddDays(2), false, Length.FromMicrometres(30)), CheckJournal.Last(again, "b"));
        Assert.Null(CheckJournal.Last(again, "c"));
        again.Index?.Break(new IOException("lost"));
        Assert.Equal(new SavedCheck(_day.AddDays(2), false, Length.FromMicrometres(30)), CheckJournal.Last(again, "b"));
    }

    [Fact]
    public void Measure_reminds_of_a_check_that_is_missing_old_or_not_within()
    {
        Assert.Equal(ReminderKind.NeverChecked, CheckJournal.Reminder(null, 30, _day)?.Kind);
        Assert.Null(CheckJournal.Reminder(null, 0, _day));
        Assert.Null(CheckJournal.Reminder(new SavedCheck(_day, true), 30, _day.AddDays(30)));
        CheckReminder? old = CheckJournal.Reminder(new SavedCheck(_day, true), 30, _day.AddDays(31.5));
        Assert.Equal(ReminderKind.Old, old?.Kind);
        Assert.Contains(" 31 ", old!.Words, StringComparison.Ordinal);
        Assert.Equal(ReminderKind.NotWithin, CheckJournal.Reminder(new SavedCheck(_day, false), 30, _day)?.Kind);
    }

    [Fact]
    public void A_check_that_does_not_confirm_what_the_standard_reckons_with_is_told()
    {
        SavedCheck last = new(_day, true, Length.FromMicrometres(25));
        CheckReminder? told = CheckJournal.Reminder(last, 30, _day, Length.FromMicrometres(20));
        Assert.Equal(ReminderKind.NotConfirmed, told?.Kind);
        Assert.All((int[])[25, 20], length => Assert.Contains($" {LengthFormat.ShowExact(Length.FromMicrometres(length))} ", told!.Words, StringComparison.Ordinal));
        Assert.Null(CheckJournal.Reminder(last, 30, _day, Length.FromMicrometres(25)));
        Assert.Null(CheckJournal.Reminder(last with { Largest = null }, 30, _day, Length.FromMicrometres(20)));
        Assert.Null(CheckJournal.Reminder(last, 0, _day, Length.FromMicrometres(20)));
    }

    /// <summary>The body as versions before wrote it: no place, no growth.</summary>
    [Theory]
    [InlineData("""{"port":"a","within":true,"points":[{"blockNm":0,"shownNm":0,"errorNm":0},{"blockNm":30000000,"shownNm":29985000,"errorNm":-15000}]}""", 15_000L)]
    [InlineData("""{"port":"a","within":true,"points":[{"errorNm":-15000,"place":"far"},{"errorNm":40000,"place":"depth"}]}""", 15_000L)]
    [InlineData("""{"port":"a","within":true,"points":[{"errorNm":"x"}]}""", null)]
    [InlineData("""{"port":"a","within":true,"points":[]}""", null)]
    [InlineData("""{"port":"a","within":true}""", null)]
    public void Of_an_older_or_broken_body_what_it_says_is_taken(string body, long? largest)
    {
        StorePaths paths = _place.Paths;
        paths.Create();
        using Store store = Store.OpenForWork(paths, TimeProvider.System, _ => { });
        store.Append(_day, "", JournalCheck.Kind, body);

        Assert.Equal(new SavedCheck(_day, true, largest is { } error ? Length.FromNanometres(error) : null), CheckJournal.Last(store, "a"));
    }

    private static CaliperCheck Check(int error) =>
        new(Length.Millimetre.Times(150), new(new PermissibleError(Length.FromMicrometres(20))), [new(Length.Millimetre, Length.Millimetre + Length.FromMicrometres(error))]);
}
